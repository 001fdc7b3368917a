package template

import (
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"bevelbook/calc/draw"
	"bevelbook/calc/part"
	"bevelbook/calc/shape"
)

// audit reads a DXF with ezdxf, which checks its structure, and prints what it finds.
const audit = `
import sys, ezdxf
from ezdxf.lldxf.encoding import decode_dxf_unicode
d = ezdxf.readfile(sys.argv[1])
a = d.audit()
print("errors", len(a.errors), "fixes", len(a.fixes))
print("version", d.dxfversion, "units", d.header["$INSUNITS"])
for e in d.modelspace():
    if e.dxftype() == "LWPOLYLINE":
        print(e.dxf.layer, "closed" if e.closed else "open", *(f"{x:.3f},{y:.3f},{b:.5f}" for x, y, b in e.get_points("xyb")))
    elif e.dxftype() == "TEXT":
        print(e.dxf.layer, "text", decode_dxf_unicode(e.dxf.text))
    else:
        print(e.dxf.layer, e.dxftype())
`

func auditDXF(t *testing.T, doc []byte) string {
	t.Helper()
	python := "/usr/bin/python3" // where distributions put the module
	if exec.Command(python, "-c", "import ezdxf").Run() != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("python3-ezdxf is missing")
		}
		t.Skip("python3-ezdxf is not installed")
	}
	file := filepath.Join(t.TempDir(), "set.dxf")
	if err := os.WriteFile(file, doc, 0o644); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(python, "-c", audit, file).CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	return string(out)
}

func TestDXFIsReadWithoutErrorsInMillimetresOnItsLayers(t *testing.T) {
	curved := part.Part{Name: "brim %%d \\P", Thickness: 5, Show: shape.Outline{Start: at(0, 0), Edges: []shape.Edge{
		{Name: "a", Segs: []shape.Seg{{End: at(200, 0)}}},
		{Name: "b", Segs: []shape.Seg{{Kind: shape.Cubic, C1: at(220, 120), C2: at(-20, 140), End: at(0, 0)}}},
	}}}
	curved.Back, curved.Edges = curved.Show, edgesOf(curved.Show, 5)
	out := auditDXF(t, DXF([]draw.Drawing{Piece(cheek(), "left", Meta{}), Piece(roof(), "", Meta{}), Piece(curved, "", Meta{})}))
	for _, want := range []string{
		"errors 0 fixes 0", "version AC1015 units 4",
		"NOTE closed 5.000,-55.000,0.00000 55.000,-55.000,0.00000 55.000,-5.000,0.00000 5.000,-5.000,0.00000",
		"MARK closed", "DRILL POINT", "MARK open", "NOTE text LEFT", "NOTE text short · −17°", "NOTE text brim %%d \\P",
	} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is missing in:\n%.2000s", want, out)
		}
	}
	// The roof's eave turns by 140°: one arc, bulge tan(35°).
	if want := fmt.Sprintf(",%.5f", math.Tan(35*math.Pi/180)); !strings.Contains(out, want) {
		t.Errorf("no arc with bulge %s", want)
	}
}
