package themes

import (
	"io/fs"
	"regexp"
	"strings"
	"testing"
)

func TestEveryThemeCanBeHad(t *testing.T) {
	if len(Names()) == 0 {
		t.Fatal("there is no theme")
	}
	for _, name := range Names() {
		theme, err := Get(name)
		if err != nil {
			t.Fatal(err)
		}
		if len(theme.Style) == 0 || len(theme.Script) == 0 || len(theme.Icon) == 0 {
			t.Errorf("%s lacks its style, script or icon", name)
		}
	}
}

func TestAnUnknownThemeIsRefusedWithTheKnownOnes(t *testing.T) {
	_, err := Get("../themes")
	if err == nil || !strings.Contains(err.Error(), "drafting") {
		t.Errorf("got %v, want an error that names drafting", err)
	}
}

func TestAPaletteRefusesWhatIsNoColour(t *testing.T) {
	for _, line := range []string{"ink #fff #000000", "ink #20272b", "ink red blue", "ink #20272b #e8e8eg"} {
		if _, err := readPalette("; remark\n\n" + line); err == nil || !strings.Contains(err.Error(), "palette.txt:3") {
			t.Errorf("%q: got %v, want an error at line 3", line, err)
		}
	}
}

// asks finds what would make a browser ask another host: an absolute or protocol-relative address.
var asks = regexp.MustCompile(`(?i)(https?:|wss?:)?//[a-z0-9.-]+\.[a-z]{2,}|@import|url\(`)

func TestNoFileOfAThemeAsksAnotherHost(t *testing.T) {
	err := fs.WalkDir(folders, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := fs.ReadFile(folders, path)
		if err != nil {
			return err
		}
		// The name space of SVG is a name, not an address that anybody opens.
		rest := strings.ReplaceAll(string(text), `xmlns="http://www.w3.org/2000/svg"`, "")
		if hit := asks.FindString(rest); hit != "" {
			t.Errorf("%s holds %q", path, hit)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

func TestTheSearchForOutsideAddressesFindsThem(t *testing.T) {
	for _, s := range []string{`src="//cdn.example.net/a.js"`, `href="https://example.org"`, `@import "x"`, `url(a.png)`} {
		if !asks.MatchString(s) {
			t.Errorf("%s is not found", s)
		}
	}
}

var (
	used    = regexp.MustCompile(`var\((--[a-z0-9-]+)`)
	defined = regexp.MustCompile(`(--[a-z0-9-]+)\s*:`)
)

func TestEveryColourThatAStyleUsesIsDefined(t *testing.T) {
	for _, name := range Names() {
		theme, err := Get(name)
		if err != nil {
			t.Fatal(err)
		}
		known := map[string]bool{}
		for _, m := range defined.FindAllStringSubmatch(string(theme.Style), -1) {
			known[m[1]] = true
		}
		for _, m := range used.FindAllStringSubmatch(string(theme.Style), -1) {
			if !known[m[1]] {
				t.Errorf("%s: %s is used and not defined", name, m[1])
			}
		}
	}
}

func TestNightColoursHoldForTheSystemAndForTheToggle(t *testing.T) {
	theme, err := Get("drafting")
	if err != nil {
		t.Fatal(err)
	}
	night := regexp.MustCompile(`\{color-scheme:dark[^}]*\}`).FindAllString(string(theme.Style), -1)
	if len(night) != 2 || night[0] != night[1] {
		t.Errorf("the rules for night are not two alike: %d", len(night))
	}
}
