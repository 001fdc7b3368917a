package editor

import (
	"net/url"
	"path/filepath"
	"strings"
)

// pathOf is the file that a file URI (RFC 8089) names, "" for any other address.
func pathOf(uri string) string {
	u, err := url.Parse(uri)
	if err != nil || u.Scheme != "file" || u.Host != "" && u.Host != "localhost" || !strings.HasPrefix(u.Path, "/") {
		return ""
	}
	p := u.Path
	if len(p) > 2 && p[2] == ':' { // /C:/build
		p = p[1:]
	}
	return filepath.Clean(filepath.FromSlash(p))
}

// uriOf is the file URI of an absolute path.
func uriOf(path string) string {
	p := filepath.ToSlash(path)
	if !strings.HasPrefix(p, "/") {
		p = "/" + p
	}
	return (&url.URL{Scheme: "file", Path: p}).String()
}
