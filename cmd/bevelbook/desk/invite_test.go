package desk

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// drawing turns what codeOf prints back into a picture, as a terminal shows it.
func drawing(t *testing.T, text string) image.Image {
	t.Helper()
	text = regexp.MustCompile("\x1b\\[[0-9;]*m").ReplaceAllString(text, "")
	lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	const scale = 4
	width := len([]rune(lines[0]))
	img := image.NewGray(image.Rect(0, 0, width*scale, 2*len(lines)*scale))
	for i := range img.Pix {
		img.Pix[i] = 255
	}
	for row, line := range lines {
		for x, r := range []rune(line) {
			for half, dark := range []bool{r == '█' || r == '▀', r == '█' || r == '▄'} {
				for p := 0; dark && p < scale*scale; p++ {
					img.SetGray(x*scale+p%scale, (2*row+half)*scale+p/scale, color.Gray{})
				}
			}
		}
	}
	return img
}

// The code is read back by an outside reader: zbarimg of Debian's zbar-tools.
func TestTheCodeCanBeScanned(t *testing.T) {
	reader, err := exec.LookPath("zbarimg")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("zbarimg is missing")
		}
		t.Skip("zbarimg (zbar-tools) is not installed: the code is not read back")
	}
	for _, host := range []string{"192.168.178.24", "10.0.0.2", "[2001:db8:85a3:8d3:1319:8a2e:370:7348]"} {
		want := "http://" + host + ":7153/?key=" + random()
		text, err := codeOf(want)
		must(t, err)
		if wide := len([]rune(strings.Split(text, "\n")[0])); wide > 80 {
			t.Errorf("the code is %d columns wide", wide)
		}
		at := filepath.Join(t.TempDir(), "code.png")
		var buf bytes.Buffer
		must(t, png.Encode(&buf, drawing(t, text)))
		must(t, os.WriteFile(at, buf.Bytes(), 0o666))
		out, err := exec.Command(reader, "--quiet", "--raw", at).Output()
		if err != nil {
			t.Fatalf("%v: %s", err, out)
		}
		if got := strings.TrimSpace(string(out)); got != want {
			t.Errorf("it reads %q, not %q", got, want)
		}
	}
}

func TestTheInvitationNamesAddressesWithTheKey(t *testing.T) {
	d := runDesk(t, Options{Dir: small(t), LAN: true})
	var b bytes.Buffer
	d.Invite(&b)
	hosts := addresses()
	for _, h := range hosts {
		if !strings.Contains(b.String(), d.address(h, d.key)) {
			t.Errorf("%s is not named in\n%s", h, &b)
		}
	}
	if len(hosts) == 0 && !strings.Contains(b.String(), "no address") {
		t.Errorf("without a network it says\n%s", &b)
	}
	if strings.Contains(b.String(), "127.0.0.1") {
		t.Error("it invites to this machine's own address")
	}
}
