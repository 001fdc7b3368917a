package photo

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"image"
	"image/color"
	"math/rand/v2"
	"sync"
	"testing"

	xdraw "golang.org/x/image/draw"
)

func decoded(t testing.TB, pic Picture) image.Image {
	t.Helper()
	img, kind, err := image.Decode(bytes.NewReader(pic.Data))
	if err != nil {
		t.Fatal(err)
	}
	if want := map[string]string{"jpeg": ".jpg", "png": ".png"}[kind]; pic.Ext != want {
		t.Errorf("a %s is named %s", kind, pic.Ext)
	}
	if b := img.Bounds(); b.Dx() != pic.Width || b.Dy() != pic.Height {
		t.Errorf("said to be %d × %d, is %v", pic.Width, pic.Height, b)
	}
	return img
}

func fit(t testing.TB, data []byte, maxEdge int) Picture {
	t.Helper()
	pic, err := Fit(data, Options{MaxEdge: maxEdge})
	if err != nil {
		t.Fatal(err)
	}
	return pic
}

// patches is a picture without any symmetry: squares of side pixels in six colours, 3 × 2.
func patches(side int) *image.RGBA {
	colours := []color.RGBA{
		{200, 40, 40, 255}, {40, 200, 40, 255}, {40, 40, 200, 255}, {220, 220, 60, 255}, {20, 20, 20, 255}, {240, 240, 240, 255},
	}
	img := image.NewRGBA(image.Rect(0, 0, 3*side, 2*side))
	for y := range 2 * side {
		for x := range 3 * side {
			img.SetRGBA(x, y, colours[y/side*3+x/side])
		}
	}
	return img
}

// noise is a picture with detail at every scale, partly see-through if asked for.
func noise(w, h int, alpha bool) *image.NRGBA {
	random := rand.New(rand.NewPCG(1, 2))
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			c := color.NRGBA{uint8(x * 255 / w), uint8(y * 255 / h), uint8(random.IntN(256)), 255}
			if alpha {
				c.A = uint8(random.IntN(256))
			}
			img.SetNRGBA(x, y, c)
		}
	}
	return img
}

// differ gives the greatest difference of any channel, 0 to 255.
func differ(a, b image.Image) int {
	if a.Bounds().Size() != b.Bounds().Size() {
		return 256
	}
	most := 0
	for y := range a.Bounds().Dy() {
		for x := range a.Bounds().Dx() {
			p := color.RGBAModel.Convert(a.At(a.Bounds().Min.X+x, a.Bounds().Min.Y+y)).(color.RGBA)
			q := color.RGBAModel.Convert(b.At(b.Bounds().Min.X+x, b.Bounds().Min.Y+y)).(color.RGBA)
			for _, d := range []int{int(p.R) - int(q.R), int(p.G) - int(q.G), int(p.B) - int(q.B), int(p.A) - int(q.A)} {
				most = max(most, d, -d)
			}
		}
	}
	return most
}

// stored turns a seen picture into the one a camera stores, by the words of the standard: where the 0th row and the
// 0th column of the stored picture are seen (JEITA CP-3451, Exif 2.2, and
// CIPA DC-008, Exif 2.3, tag 274, Orientation).
func stored(seen image.Image, row, column string) image.Image {
	w, h := seen.Bounds().Dx(), seen.Bounds().Dy()
	rows, columns := h, w
	if row == "left" || row == "right" {
		rows, columns = w, h
	}
	img := image.NewRGBA(image.Rect(0, 0, columns, rows))
	for i := range rows {
		for j := range columns {
			x, y := 0, 0
			for side, n := range map[string]int{row: i, column: j} {
				switch side {
				case "top":
					y = n
				case "bottom":
					y = h - 1 - n
				case "left":
					x = n
				case "right":
					x = w - 1 - n
				}
			}
			img.Set(j, i, seen.At(x, y))
		}
	}
	return img
}

var exifTable = []struct {
	turn        uint16
	row, column string
}{
	{1, "top", "left"}, {2, "top", "right"}, {3, "bottom", "right"}, {4, "bottom", "left"},
	{5, "left", "top"}, {6, "right", "top"}, {7, "right", "bottom"}, {8, "left", "bottom"},
}

func TestAllEightOrientationsAreTurnedUpright(t *testing.T) {
	seen := patches(16)
	for _, c := range exifTable {
		for _, order := range []binary.AppendByteOrder{binary.LittleEndian, binary.BigEndian} {
			camera := stored(seen, c.row, c.column)
			tiff := exif(order, c.turn)
			if got := decoded(t, fit(t, privatePNG(t, camera, tiff), 0)); differ(got, seen) != 0 {
				t.Errorf("PNG, orientation %d, %v: not upright", c.turn, order)
			}
			// JPEG rounds colours, most where patches meet; a wrong turn is off by 160 and more.
			if got := decoded(t, fit(t, privateJPEG(t, camera, tiff), 0)); differ(got, seen) > 100 {
				t.Errorf("JPEG, orientation %d, %v: not upright", c.turn, order)
			}
			small := decoded(t, fit(t, privatePNG(t, camera, tiff), 24))
			if want := resize(seen, 24, 16); differ(small, want) > 1 {
				t.Errorf("PNG, orientation %d, made smaller: not upright", c.turn)
			}
		}
	}
}

func TestAnOrientationOutOfTheTableCountsAsUpright(t *testing.T) {
	whole := exif(binary.LittleEndian, 6)
	if orientationIn(whole) != 6 {
		t.Fatal("the crafted orientation is not read")
	}
	for _, turn := range []uint16{0, 9, 0xffff} {
		if got := orientationIn(exif(binary.BigEndian, turn)); got != upright {
			t.Errorf("%d is read as %d", turn, got)
		}
	}
	for n := range whole {
		if got := orientationIn(whole[:n]); got != upright && (got != 6 || n < 10+2*12) {
			t.Errorf("cut after %d bytes: %d", n, got)
		}
	}
	far := bytes.Clone(whole)
	binary.LittleEndian.PutUint32(far[4:], 0xffffffff)
	if got := orientationIn(far); got != upright {
		t.Errorf("directory beyond the end: %d", got)
	}
}

func TestNothingButThePictureSurvives(t *testing.T) {
	tiff := exif(binary.BigEndian, 6)
	hidden := noise(40, 20, true)
	for i := range secret { // colours under full transparency
		hidden.SetNRGBA(i, 3, color.NRGBA{secret[i], secret[i], secret[i], 0})
	}
	frame := image.NewPaletted(image.Rect(0, 0, 30, 20), color.Palette{color.Black, color.White})
	for i := 0; i+2 < len(secret); i += 3 { // colours that no pixel has
		frame.Palette = append(frame.Palette, color.RGBA{secret[i], secret[i+1], secret[i+2], 255})
	}
	for name, data := range map[string][]byte{
		"JPEG":     privateJPEG(t, noise(40, 20, false), tiff),
		"PNG":      privatePNG(t, noise(40, 20, false), tiff),
		"see-thru": privatePNG(t, hidden, exif(binary.BigEndian, 1)),
		"paletted": privatePNG(t, frame, exif(binary.BigEndian, 1)),
		"GIF":      privateGIF(t, frame, frame),
		"WebP":     privateWebP(40, 20, color.NRGBA{1, 2, 3, 255}, tiff),
		"WebP see": privateWebP(40, 20, color.NRGBA{1, 2, 3, 25}, tiff),
	} {
		if !bytes.Contains(data, []byte(secret)) {
			t.Fatalf("%s: the crafted file holds no secret", name)
		}
		for _, edge := range []int{0, 15} {
			got := fit(t, data, edge).Data
			for n := 0; n+6 <= len(secret); n++ {
				if bytes.Contains(got, []byte(secret[n:n+6])) {
					t.Errorf("%s, edge %d: %q survives", name, edge, secret[n:n+6])
				}
			}
			for _, word := range []string{"Exif", "eXIf", "EXIF", "II*\x00", "MM\x00*", "adobe", "ICC", "iCCP", "tEXt", "iTXt", "prVt", "JFIF"} {
				if bytes.Contains(got, []byte(word)) {
					t.Errorf("%s, edge %d: %q survives", name, edge, word)
				}
			}
			if img, ok := decoded(t, fit(t, data, edge)).(*image.NRGBA); ok {
				for i := 0; i < len(img.Pix); i += 4 {
					if img.Pix[i+3] == 0 && (img.Pix[i]|img.Pix[i+1]|img.Pix[i+2]) != 0 {
						t.Fatalf("%s: a colour under full transparency survives", name)
					}
				}
			} else if img, ok := decoded(t, fit(t, data, edge)).(*image.Paletted); ok && len(img.Palette) > 1 {
				t.Errorf("%s: unused colours survive", name)
			}
		}
	}
}

func TestEachFormatBecomesJPEGOrPNGAndFits(t *testing.T) {
	grey := image.NewGray(image.Rect(0, 0, 90, 30))
	frame := image.NewPaletted(image.Rect(0, 0, 90, 30), color.Palette{color.Black, color.White})
	upright := exif(binary.LittleEndian, 1)
	for _, c := range []struct {
		name string
		data []byte
		edge int
		w, h int
		ext  string
	}{
		{"JPEG", privateJPEG(t, noise(90, 30, false), upright), 45, 45, 15, ".jpg"},
		{"grey JPEG", privateJPEG(t, grey, upright), 0, 90, 30, ".jpg"},
		{"JPEG, small enough", privateJPEG(t, noise(90, 30, false), upright), 90, 90, 30, ".jpg"},
		{"JPEG, never enlarged", privateJPEG(t, noise(90, 30, false), upright), 1000, 90, 30, ".jpg"},
		{"PNG", privatePNG(t, noise(30, 90, false), upright), 60, 20, 60, ".png"},
		{"PNG, 3 : 1 to 50", privatePNG(t, noise(30, 90, false), upright), 50, 17, 50, ".png"},
		{"PNG, a thread", privatePNG(t, noise(1, 90, true), upright), 3, 1, 3, ".png"},
		{"GIF", privateGIF(t, frame), 30, 30, 10, ".png"},
		{"WebP", privateWebP(80, 40, color.NRGBA{9, 9, 9, 255}, upright), 20, 20, 10, ".jpg"},
		{"WebP on its side", privateWebP(80, 40, color.NRGBA{9, 9, 9, 255}, exif(binary.BigEndian, 8)), 20, 10, 20, ".jpg"},
		{"see-through WebP", privateWebP(80, 40, color.NRGBA{9, 9, 9, 99}, upright), 20, 20, 10, ".png"},
	} {
		pic := fit(t, c.data, c.edge)
		decoded(t, pic)
		if pic.Width != c.w || pic.Height != c.h || pic.Ext != c.ext {
			t.Errorf("%s: %d × %d %s, want %d × %d %s", c.name, pic.Width, pic.Height, pic.Ext, c.w, c.h, c.ext)
		}
	}
}

func TestAnAnimatedGIFShowsItsFirstFrameInItsPlace(t *testing.T) {
	red, blue := color.RGBA{255, 0, 0, 255}, color.RGBA{0, 0, 255, 255}
	palette := color.Palette{red, blue, color.RGBA{}}
	first := image.NewPaletted(image.Rect(4, 6, 8, 10), palette) // red
	second := image.NewPaletted(image.Rect(0, 0, 20, 10), palette)
	for i := range second.Pix {
		second.Pix[i] = 1
	}
	var whole = image.NewPaletted(image.Rect(0, 0, 20, 10), palette)
	data := privateGIF(t, whole, first, second)
	if got := decoded(t, fit(t, data, 0)); differ(got, whole) != 0 {
		t.Error("not the first frame")
	}
	got := decoded(t, fit(t, privateGIF(t, first, first), 0))
	if b := got.Bounds(); b.Dx() != 8 || b.Dy() != 10 { // the encoder's canvas reaches to the frame's far corner
		t.Fatal(b)
	}
	if got.At(5, 7) != (color.NRGBA{255, 0, 0, 255}) || got.At(1, 1) != (color.NRGBA{}) {
		t.Errorf("the frame is not in its place: %v, %v", got.At(5, 7), got.At(1, 1))
	}
}

// The judge is the Catmull-Rom of golang.org/x/image/draw, which works in floating point on the whole picture.
func TestResizingAgreesWithAnIndependentCatmullRom(t *testing.T) {
	for _, alpha := range []bool{false, true} {
		for _, c := range [][4]int{{100, 80, 50, 40}, {97, 61, 31, 19}, {64, 64, 63, 63}, {200, 10, 40, 2}, {5, 300, 1, 60}} {
			src := noise(c[0], c[1], alpha)
			want := image.NewRGBA(image.Rect(0, 0, c[2], c[3]))
			xdraw.CatmullRom.Scale(want, want.Rect, src, src.Rect, xdraw.Src, nil)
			if d := differ(resize(src, c[2], c[3]), want); d > 2 {
				t.Errorf("%v, alpha %v: off by %d of 255", c, alpha, d)
			}
		}
	}
}

func TestAFlatColourStaysItself(t *testing.T) {
	for _, c := range []color.RGBA{{0, 0, 0, 255}, {255, 255, 255, 255}, {17, 130, 201, 255}, {10, 20, 30, 40}, {}} {
		src := image.NewRGBA(image.Rect(0, 0, 211, 97))
		for i := range src.Pix {
			src.Pix[i] = []uint8{c.R, c.G, c.B, c.A}[i%4]
		}
		for _, pixel := range resize(src, 50, 23).Pix[:4*50*23] {
			if pixel != c.R && pixel != c.G && pixel != c.B && pixel != c.A {
				t.Fatalf("%v becomes %d", c, pixel)
			}
		}
	}
}

func TestTheSamePictureGivesTheSameBytes(t *testing.T) {
	data := privateJPEG(t, noise(300, 200, false), exif(binary.LittleEndian, 5))
	want := fit(t, data, 64)
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			if got, err := Fit(data, Options{MaxEdge: 64}); err != nil || !bytes.Equal(got.Data, want.Data) {
				t.Error("other bytes", err)
			}
		})
	}
	all.Wait()
	again := fit(t, want.Data, 64)
	if again.Width != want.Width || again.Height != want.Height {
		t.Error("a fitted picture is turned or resized again")
	}
}

func TestPicturesThatCannotBeShownAreRefusedInASentence(t *testing.T) {
	upright := exif(binary.LittleEndian, 1)
	good := privatePNG(t, noise(30, 30, false), upright)
	huge := bytes.Clone(good)
	binary.BigEndian.PutUint32(huge[16:], 100_000) // width and height in IHDR
	binary.BigEndian.PutUint32(huge[20:], 100_000)
	copy(huge[8:], pngChunk("IHDR", string(huge[16:29])))
	tall := privateJPEG(t, noise(16, 16, false), upright)
	frame := bytes.Index(tall, []byte{0xff, 0xc0, 0, 17, 8})
	binary.BigEndian.PutUint32(tall[frame+5:], 0xffffffff) // height and width in SOF0
	for _, c := range []struct {
		name string
		data []byte
		opt  Options
		want error
	}{
		{"nothing", nil, Options{}, ErrFormat},
		{"a text", []byte("dear lantern"), Options{}, ErrFormat},
		{"an SVG", []byte("<svg/>"), Options{}, ErrFormat},
		{"a head alone", good[:8], Options{}, ErrBroken},
		{"half a PNG", good[:len(good)/2], Options{}, ErrBroken},
		{"half a JPEG", tall[:frame], Options{}, ErrBroken},
		{"a vast PNG", huge, Options{}, ErrLarge},
		{"a vast JPEG", tall, Options{}, ErrLarge},
		{"half a WebP", privateWebP(80, 40, color.NRGBA{}, nil)[:34], Options{}, ErrBroken},
		{"half a GIF", privateGIF(t, image.NewPaletted(image.Rect(0, 0, 9, 9), color.Palette{color.Black}))[:20], Options{}, ErrBroken},
	} {
		pic, err := Fit(c.data, c.opt)
		if !errors.Is(err, c.want) || pic.Data != nil {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	if _, err := Fit(good, Options{MaxEdge: -1}); err == nil {
		t.Error("a negative edge is taken")
	}
}

func FuzzFit(f *testing.F) {
	tiff := exif(binary.BigEndian, 6)
	f.Add(privateJPEG(f, patches(4), tiff))
	f.Add(privatePNG(f, patches(4), tiff))
	f.Add(privateGIF(f, image.NewPaletted(image.Rect(1, 2, 9, 9), color.Palette{color.Black, color.White})))
	f.Add(privateWebP(8, 4, color.NRGBA{1, 2, 3, 4}, tiff))
	f.Fuzz(func(t *testing.T, data []byte) {
		if kind, ok := formatOf(data); ok { // large pictures only make the fuzzer slow
			if size, err := kind.config(bytes.NewReader(data)); err == nil && size.Width*size.Height > 1<<20 {
				return
			}
		}
		pic, err := Fit(data, Options{MaxEdge: 16})
		if err != nil {
			return
		}
		decoded(t, pic)
		if pic.Width > 16 || pic.Height > 16 || pic.Width < 1 || pic.Height < 1 {
			t.Errorf("%d × %d", pic.Width, pic.Height)
		}
	})
}

func BenchmarkFit(b *testing.B) {
	for _, megapixels := range []int{1, 12} {
		side := 1000
		if megapixels == 12 {
			side = 3464
		}
		data := privateJPEG(b, noise(side, side, false), exif(binary.LittleEndian, 6))
		b.Run(fmt.Sprint(megapixels, "MP"), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				fit(b, data, 1600)
			}
		})
	}
}
