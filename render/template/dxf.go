package template

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/draw"
	"bevelbook/calc/shape"
)

// DXF writes pieces as one ASCII file of version AC1015 in mm ($INSUNITS 4) with the layers CUT, MARK,
// DRILL and NOTE. Outlines are closed polylines whose arcs are true arcs; Bézier curves become steps
// that keep within 0.005 mm. A square of 50 mm, to measure, stands first, on the layer NOTE.
func DXF(pieces []draw.Drawing) []byte {
	body := &dxf{}
	body.handle = firstEntity
	size := setOut(pieces, body.item)
	d := &dxf{handle: firstEntity, out: make([]byte, 0, len(body.out)+8192)}
	d.header(body.handle, size)
	d.tables()
	d.section("BLOCKS", func() {
		d.block("*Model_Space", modelRecord, 0x30)
		d.block("*Paper_Space", paperRecord, 0x32)
	})
	d.section("ENTITIES", func() { d.out = append(d.out, body.out...) })
	d.section("OBJECTS", func() {
		d.text(0, "DICTIONARY").hex(5, 0xC).hex(330, 0).text(100, "AcDbDictionary").int(281, 1).text(3, "ACAD_GROUP").hex(350, 0xD)
		d.text(0, "DICTIONARY").hex(5, 0xD).hex(330, 0xC).text(100, "AcDbDictionary").int(281, 1)
	})
	d.text(0, "EOF")
	return d.out
}

// Handles of what entities refer to; entities count from firstEntity.
const (
	modelRecord = 0x20
	paperRecord = 0x21
	firstEntity = 0x100
)

// dxf appends pairs of group code and value.
type dxf struct {
	out    []byte
	handle int
	em     float64
}

func (d *dxf) code(n int) {
	d.out = append(strconv.AppendInt(d.out, int64(n), 10), '\n')
}

func (d *dxf) text(code int, value string) *dxf {
	d.code(code)
	d.out = append(append(d.out, value...), '\n')
	return d
}

func (d *dxf) int(code, value int) *dxf {
	return d.text(code, strconv.Itoa(value))
}

func (d *dxf) hex(code, value int) *dxf {
	return d.text(code, strings.ToUpper(strconv.FormatInt(int64(value), 16)))
}

func (d *dxf) num(code int, value float64) *dxf {
	d.code(code)
	if math.IsNaN(value) || math.Abs(value) > 1e12 {
		value = 0 // a drawing must stay a drawing
	}
	from := len(d.out)
	d.out = strconv.AppendFloat(d.out, value, 'f', dxfDecimals, 64)
	digits := bytes.TrimRight(d.out[from:], "0")
	digits = bytes.TrimSuffix(digits, []byte{'.'})
	if string(digits) == "-0" {
		digits = digits[1:]
	}
	d.out = append(append(d.out[:from], digits...), '\n')
	return d
}

// dxfDecimals of a number: with fewer the area of a large arc, worked out from its bulge, is off by more
// than 1e-6 mm².
const dxfDecimals = 12

func (d *dxf) xy(code int, p r2.Vec) *dxf { return d.num(code, p.X).num(code+10, p.Y) }

func (d *dxf) section(name string, fill func()) {
	d.text(0, "SECTION").text(2, name)
	fill()
	d.text(0, "ENDSEC")
}

func (d *dxf) header(nextHandle int, size r2.Vec) {
	d.section("HEADER", func() {
		d.text(9, "$ACADVER").text(1, "AC1015")
		d.text(9, "$DWGCODEPAGE").text(3, "ANSI_1252")
		d.text(9, "$HANDSEED").hex(5, nextHandle+1)
		d.text(9, "$INSUNITS").int(70, 4)
		d.text(9, "$MEASUREMENT").int(70, 1)
		d.text(9, "$EXTMIN").xy(10, r2.Vec{Y: -size.Y}).num(30, 0)
		d.text(9, "$EXTMAX").xy(10, r2.Vec{X: size.X}).num(30, 0)
	})
	d.section("CLASSES", func() {})
}

// table writes one table; each row gets its handle after the table's own.
func (d *dxf) table(name string, handle int, record string, rows ...func()) {
	d.text(0, "TABLE").text(2, name).hex(5, handle).hex(330, 0).text(100, "AcDbSymbolTable").int(70, len(rows))
	if name == "DIMSTYLE" {
		d.text(100, "AcDbDimStyleTable").int(71, 0)
	}
	for i, row := range rows {
		at := handle + 0x10*(i+4)
		if name == "BLOCK_RECORD" {
			at = modelRecord + i
		}
		d.text(0, name).hex(5, at).hex(330, handle).text(100, "AcDbSymbolTableRecord").text(100, record)
		row()
	}
	d.text(0, "ENDTAB")
}

func (d *dxf) tables() {
	linetype := func(name, about string, dashes ...float64) func() {
		return func() {
			d.text(2, name).int(70, 0).text(3, about).int(72, 65).int(73, len(dashes))
			sum := 0.0
			for _, x := range dashes {
				sum += math.Abs(x)
			}
			d.num(40, sum)
			for _, x := range dashes {
				d.num(49, x).int(74, 0)
			}
		}
	}
	layer := func(name string, colour int) func() {
		return func() { d.text(2, name).int(70, 0).int(62, colour).text(6, "Continuous") }
	}
	named := func(name string) func() { return func() { d.text(2, name).int(70, 0) } }
	record := func(name string) func() { return func() { d.text(2, name).hex(340, 0) } }
	d.section("TABLES", func() {
		d.table("VPORT", 1, "")
		d.table("LTYPE", 2, "AcDbLinetypeTableRecord", linetype("ByBlock", ""), linetype("ByLayer", ""),
			linetype("Continuous", "Solid"), linetype("DASHED", "3 mm on, 2 mm off", 3, -2))
		d.table("LAYER", 3, "AcDbLayerTableRecord", layer("0", 7), layer("CUT", 1), layer("MARK", 5), layer("DRILL", 3), layer("NOTE", 8))
		d.table("STYLE", 4, "AcDbTextStyleTableRecord", func() {
			d.text(2, "Standard").int(70, 0).num(40, 0).num(41, 1).num(50, 0).int(71, 0).num(42, 2.5).text(3, "txt").text(4, "")
		})
		d.table("VIEW", 5, "")
		d.table("UCS", 6, "")
		d.table("APPID", 7, "AcDbRegAppTableRecord", named("ACAD"))
		d.table("DIMSTYLE", 8, "")
		d.table("BLOCK_RECORD", 9, "AcDbBlockTableRecord", record("*Model_Space"), record("*Paper_Space"))
	})
}

func (d *dxf) block(name string, owner, handle int) {
	d.text(0, "BLOCK").hex(5, handle).hex(330, owner).text(100, "AcDbEntity").text(8, "0").text(100, "AcDbBlockBegin")
	d.text(2, name).int(70, 0).xy(10, r2.Vec{}).num(30, 0).text(3, name).text(1, "")
	d.text(0, "ENDBLK").hex(5, handle+1).hex(330, owner).text(100, "AcDbEntity").text(8, "0").text(100, "AcDbBlockEnd")
}

func (d *dxf) item(it draw.Item, em float64) {
	d.em = em
	switch it := it.(type) {
	case draw.Stroke:
		d.polyline(it.Role, pathCorners(it.Path), false)
	case draw.Area:
		if it.Role == draw.Hatch {
			d.lines(it.Role, it.Hatching(0.55*em))
			return
		}
		for _, o := range append([]shape.Outline{it.Outline}, it.Holes...) {
			d.polyline(it.Role, outlineCorners(o), true)
		}
	case draw.Point:
		d.entity("POINT", it.Role, "AcDbPoint").xy(10, it.At).num(30, 0)
	case draw.Label:
		d.label(it)
	case draw.Dimension:
		lines, label := it.Drawn(em)
		d.lines(draw.Dim, lines)
		d.label(label)
	case draw.Angle:
		arc, lines, label := it.Drawn(em)
		d.polyline(draw.Dim, pathCorners(arc), false)
		d.lines(draw.Dim, lines)
		d.label(label)
	}
}

// entity begins an entity on its role's layer.
func (d *dxf) entity(kind string, role draw.Role, class string) *dxf {
	d.text(0, kind).hex(5, d.handle).hex(330, modelRecord).text(100, "AcDbEntity").text(8, strings.ToUpper(penOf(role).layer))
	d.handle++
	if len(penOf(role).dash) > 0 {
		d.text(6, "DASHED")
	}
	return d.text(100, class)
}

func (d *dxf) lines(role draw.Role, lines []draw.Line) {
	for _, l := range lines {
		d.entity("LINE", role, "AcDbLine").xy(10, l.A).num(30, 0).xy(11, l.B).num(31, 0)
	}
}

func (d *dxf) polyline(role draw.Role, points []corner, closed bool) {
	flag := 0
	if n := len(points); closed && n > 1 {
		flag = 1
		points = points[:n-1] // the last corner is the first
	}
	if len(points) < 2 {
		return
	}
	d.entity("LWPOLYLINE", role, "AcDbPolyline").int(90, len(points)).int(70, flag)
	for _, p := range points {
		d.xy(10, p.at)
		if p.bulge != 0 {
			d.num(42, p.bulge)
		}
	}
}

// label writes words centred on their point in height. A DXF text's height is that of capitals.
func (d *dxf) label(l draw.Label) {
	size := d.em
	if l.Size > 0 {
		size *= l.Size
	}
	if l.Text == "" {
		return
	}
	across := [...]int{draw.Middle: 1, draw.Start: 0, draw.End: 2}[l.Anchor]
	d.entity("TEXT", l.Role, "AcDbText").xy(10, l.At).num(30, 0).num(40, 2*capital*size).text(1, dxfText(l.Text))
	d.num(50, l.Angle*180/math.Pi).int(72, across).xy(11, l.At).num(31, 0).text(100, "AcDbText").int(73, 2)
}

// dxfText writes characters beyond ASCII as \U+XXXX, as files of this version do.
func dxfText(s string) string {
	var out strings.Builder
	for _, r := range s {
		switch {
		case r < ' ' || r == utf8.RuneError:
			out.WriteByte(' ')
		case r == '%': // two of them begin a code
			out.WriteString(`\U+0025`)
		case r < utf8.RuneSelf:
			out.WriteByte(byte(r))
		case r > 0xFFFF:
			out.WriteByte('?')
		default:
			fmt.Fprintf(&out, "\\U+%04X", r)
		}
	}
	return out.String()
}

// corner is a point of a polyline and the bulge of the arc that leads on from it.
type corner struct {
	at    r2.Vec
	bulge float64
}

func pathCorners(p shape.Path) []corner { return follow([]corner{{at: p.Start}}, p.Segs) }

func outlineCorners(o shape.Outline) []corner {
	list := []corner{{at: o.Start}}
	for _, e := range o.Edges {
		list = follow(list, e.Segs)
	}
	return list
}

func follow(list []corner, segs []shape.Seg) []corner {
	for _, s := range segs {
		last := &list[len(list)-1]
		switch s.Kind {
		case shape.Arc:
			last.bulge = s.Bulge
			list = append(list, corner{at: s.End})
		case shape.Cubic:
			for _, p := range cubicSteps(last.at, s) {
				list = append(list, corner{at: p})
			}
		default:
			list = append(list, corner{at: s.End})
		}
	}
	return list
}

// cubicSteps divides a Bézier so that its chords keep within the tolerance: the error of a chord is at
// most h²/8 of the greatest second derivative, which for a cubic is 6 times the larger second difference.
func cubicSteps(from r2.Vec, s shape.Seg) []r2.Vec {
	const tolerance, most = 0.005, 4000
	bend := math.Max(
		r2.Norm(r2.Add(r2.Sub(from, r2.Scale(2, s.C1)), s.C2)),
		r2.Norm(r2.Add(r2.Sub(s.C1, r2.Scale(2, s.C2)), s.End)))
	n := int(math.Max(1, math.Min(most, math.Ceil(math.Sqrt(0.75*bend/tolerance)))))
	points := make([]r2.Vec, n)
	for i := range points {
		points[i] = draw.Bezier{from, s.C1, s.C2, s.End}.At(float64(i+1) / float64(n))
	}
	points[n-1] = s.End
	return points
}
