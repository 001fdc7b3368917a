package desk

import (
	"fmt"
	"image/color"
	"io"
	"net"
	"strings"

	"github.com/boombuler/barcode/qr"
)

// Invite prints where other devices of the network find the desk, with the key that lets them in and
// a code to scan for the first of the addresses.
func (d *Desk) Invite(w io.Writer) {
	hosts := addresses()
	if len(hosts) == 0 {
		fmt.Fprintln(w, "This machine has no address in a network.")
		return
	}
	fmt.Fprintln(w, "\nIn the network, for whoever has this key:")
	for _, h := range hosts {
		fmt.Fprintln(w, "  "+d.address(h, d.key))
	}
	if code, err := codeOf(d.address(hosts[0], d.key)); err == nil {
		fmt.Fprintf(w, "\n%s\n", code)
	}
}

// addresses are those under which other devices of the network find this machine, IPv4 first: it is
// the shorter to type.
func addresses() []string {
	list, err := net.InterfaceAddrs()
	if err != nil {
		return nil
	}
	var four, six []string
	for _, a := range list {
		n, ok := a.(*net.IPNet)
		switch {
		case !ok || n.IP.IsLoopback() || n.IP.IsLinkLocalUnicast() || n.IP.IsMulticast():
		case n.IP.To4() != nil:
			four = append(four, n.IP.String())
		default:
			six = append(six, n.IP.String())
		}
	}
	return append(four, six...)
}

// margin is the quiet zone around a code, in modules (ISO/IEC 18004, 5.3.8).
const margin = 4

// codeOf is a text as a code to scan (QR, ISO/IEC 18004) in half blocks, two modules a line. The
// colours are set, so that it is dark on light on any terminal.
func codeOf(text string) (string, error) {
	code, err := qr.Encode(text, qr.M, qr.Unicode)
	if err != nil {
		return "", err
	}
	size := code.Bounds().Dx()
	dark := func(x, y int) bool {
		if x < 0 || y < 0 || x >= size || y >= size {
			return false
		}
		return color.GrayModel.Convert(code.At(x, y)).(color.Gray).Y < 128
	}
	var b strings.Builder
	for y := -margin; y < size+margin; y += 2 {
		b.WriteString("\x1b[30;107m")
		for x := -margin; x < size+margin; x++ {
			switch up, down := dark(x, y), dark(x, y+1); {
			case up && down:
				b.WriteString("█")
			case up:
				b.WriteString("▀")
			case down:
				b.WriteString("▄")
			default:
				b.WriteByte(' ')
			}
		}
		b.WriteString("\x1b[0m\n")
	}
	return b.String(), nil
}
