package photo

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/gif"
	"image/jpeg"
	"image/png"
	"io"

	"golang.org/x/image/webp"
	"golang.org/x/sync/semaphore"
)

const (
	maxPixels = 80_000_000 // per picture, and for all that are being decoded at one time
	quality   = 85         // of JPEGs, out of 100: no visible loss in a photo at half the bytes of 95
)

// Options say how a picture is to be made.
type Options struct {
	MaxEdge int // greatest width and height in pixels; 0 leaves the size as it is
}

// Picture is a picture ready to publish.
type Picture struct {
	Data          []byte
	Width, Height int    // in pixels, as seen upright
	Ext           string // ".jpg" or ".png"
}

// Errors that Fit wraps.
var (
	ErrFormat = errors.New("it is not a JPEG, PNG, GIF or WebP picture")
	ErrLarge  = fmt.Errorf("it has more than %d million pixels", maxPixels/1_000_000)
	ErrBroken = errors.New("it is damaged, or of a kind that is not known here")
)

// format is a kind of file that can be read.
type format struct {
	name   string
	magic  string // ? stands for any byte
	config func(io.Reader) (image.Config, error)
	decode func(io.Reader) (image.Image, error)
	exif   func([]byte) []byte // the TIFF structure that holds the orientation; nil where the format has none
	lossy  bool                // written as JPEG if nothing shows through
}

var formats = []format{
	{"JPEG", "\xff\xd8\xff", jpeg.DecodeConfig, jpeg.Decode, exifInJPEG, true},
	{"PNG", "\x89PNG\r\n\x1a\n", png.DecodeConfig, png.Decode, exifInPNG, false},
	{"GIF", "GIF8?a", gif.DecodeConfig, gif.Decode, nil, false},
	{"WebP", "RIFF????WEBPVP8", webp.DecodeConfig, webp.Decode, exifInWebP, true},
}

// decoding bounds the pixels held at one time when many goroutines call Fit.
var decoding = semaphore.NewWeighted(maxPixels)

// Fit reads a JPEG, PNG, GIF (its first frame) or WebP picture, turns it upright, makes it smaller if an edge is
// longer than MaxEdge, and writes it as JPEG or PNG without anything but the picture. It never makes one larger.
// The error says in a sentence what is wrong with the picture, for the person who took it.
func Fit(data []byte, opt Options) (Picture, error) {
	if opt.MaxEdge < 0 {
		return Picture{}, fmt.Errorf("a picture cannot be fitted into %d pixels", opt.MaxEdge)
	}
	f, ok := formatOf(data)
	if !ok {
		return Picture{}, fmt.Errorf("the picture cannot be read: %w", ErrFormat)
	}
	size, err := f.config(bytes.NewReader(data))
	if err != nil {
		return Picture{}, broken(f, err)
	}
	if size.Width <= 0 || size.Height <= 0 {
		return Picture{}, broken(f, errors.New("it has no pixels"))
	}
	if size.Width > maxPixels/size.Height {
		return Picture{}, fmt.Errorf("the picture is %d × %d pixels: %w; make it smaller first", size.Width, size.Height, ErrLarge)
	}
	turn := upright
	if f.exif != nil {
		turn = orientationIn(f.exif(data))
	}
	img, err := f.shrunk(data, size, opt)
	if err != nil {
		return Picture{}, err
	}
	return encode(turn.apply(img), f.lossy)
}

func formatOf(data []byte) (format, bool) {
	for _, f := range formats {
		if hasMagic(data, f.magic) {
			return f, true
		}
	}
	return format{}, false
}

func hasMagic(data []byte, magic string) bool {
	if len(data) < len(magic) {
		return false
	}
	for i := range len(magic) {
		if magic[i] != '?' && magic[i] != data[i] {
			return false
		}
	}
	return true
}

func broken(f format, err error) error {
	return fmt.Errorf("the %s picture cannot be read: %w (%v)", f.name, ErrBroken, err)
}

// shrunk decodes the picture and makes it small enough.
func (f format) shrunk(data []byte, size image.Config, opt Options) (image.Image, error) {
	pixels := int64(size.Width) * int64(size.Height)
	if err := decoding.Acquire(context.Background(), pixels); err != nil {
		return nil, err
	}
	defer decoding.Release(pixels)
	img, err := f.decode(bytes.NewReader(data))
	if err != nil {
		return nil, broken(f, err)
	}
	whole := image.Rect(0, 0, size.Width, size.Height)
	if frame := img.Bounds(); !frame.In(whole) {
		return nil, broken(f, errors.New("two sizes are given"))
	} else if frame != whole { // a GIF's first frame may cover a part only
		canvas := image.NewRGBA(whole)
		draw.Draw(canvas, frame, img, frame.Min, draw.Src)
		img = canvas
	}
	w, h := fitted(size.Width, size.Height, opt.MaxEdge)
	if w == size.Width && h == size.Height {
		return img, nil
	}
	return resize(img, w, h), nil
}

// fitted gives the greatest size of the same shape whose edges are at most maxEdge, rounded, and at least 1.
func fitted(w, h, maxEdge int) (int, int) {
	longest := max(w, h)
	if maxEdge == 0 || longest <= maxEdge {
		return w, h
	}
	scaled := func(n int) int { return max(1, (2*n*maxEdge+longest)/(2*longest)) }
	return scaled(w), scaled(h)
}

// encode writes the pixels and nothing else. Colours hidden under full transparency are pixels nobody sees; they go too.
func encode(img image.Image, lossy bool) (Picture, error) {
	img = plain(img)
	pic := Picture{Width: img.Bounds().Dx(), Height: img.Bounds().Dy()}
	var b bytes.Buffer
	var err error
	if lossy && isOpaque(img) {
		pic.Ext = ".jpg"
		err = jpeg.Encode(&b, img, &jpeg.Options{Quality: quality})
	} else {
		pic.Ext = ".png"
		err = png.Encode(&b, img)
	}
	pic.Data = b.Bytes()
	return pic, err
}

// plain gives the picture in a form that carries no more than what is seen.
func plain(img image.Image) image.Image {
	switch img := img.(type) {
	case *image.YCbCr, *image.Gray, *image.RGBA:
		return img
	case *image.Paletted:
		if img.Opaque() {
			return withUsedColours(img)
		}
	}
	return toRGBA(img)
}

// withUsedColours drops the colours of the palette that no pixel has.
func withUsedColours(img *image.Paletted) *image.Paletted {
	var at [256]int // index in the new palette, plus one
	var used color.Palette
	lean := image.NewPaletted(image.Rect(0, 0, img.Rect.Dx(), img.Rect.Dy()), nil)
	for y := range lean.Rect.Dy() {
		row := img.Pix[y*img.Stride:][:lean.Rect.Dx()]
		for x, c := range row {
			if at[c] == 0 {
				used = append(used, img.Palette[c])
				at[c] = len(used)
			}
			lean.Pix[y*lean.Stride+x] = uint8(at[c] - 1)
		}
	}
	lean.Palette = used
	return lean
}

func isOpaque(img image.Image) bool {
	o, ok := img.(interface{ Opaque() bool })
	return ok && o.Opaque()
}

func toRGBA(img image.Image) *image.RGBA {
	if rgba, ok := img.(*image.RGBA); ok {
		return rgba
	}
	b := img.Bounds()
	rgba := image.NewRGBA(image.Rect(0, 0, b.Dx(), b.Dy()))
	draw.Draw(rgba, rgba.Rect, img, b.Min, draw.Src)
	return rgba
}
