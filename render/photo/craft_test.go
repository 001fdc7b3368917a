package photo

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/gif"
	"image/jpeg"
	"image/png"
	"testing"
)

// secret is a text that must not survive; the crafted files carry it wherever private things are kept.
const secret = "LANTERN-ROOM-SECRET"

// exif builds a TIFF structure with camera name, orientation, a GPS directory and a thumbnail, all of them secret.
func exif(order binary.AppendByteOrder, turn uint16) []byte {
	mark := "MM\x00*"
	if order == binary.LittleEndian {
		mark = "II*\x00"
	}
	const ascii, short, long, rational = 2, 3, 4, 5
	const first, gps, store = 8, 8 + 2 + 3*12 + 4, 8 + 2 + 3*12 + 4 + 2 + 2*12 + 4
	entry := func(b []byte, tag, kind uint16, count, value uint32) []byte {
		b = order.AppendUint16(order.AppendUint16(b, tag), kind)
		b = order.AppendUint32(b, count)
		if kind == short && count == 1 {
			return order.AppendUint16(order.AppendUint16(b, uint16(value)), 0)
		}
		return order.AppendUint32(b, value)
	}
	b := order.AppendUint32([]byte(mark), first)
	b = order.AppendUint16(b, 3)
	b = entry(b, 0x010f, ascii, uint32(len(secret)), store) // Make
	b = entry(b, orientationTag, short, 1, uint32(turn))
	b = entry(b, 0x8825, long, 1, gps)                   // GPS directory
	b = order.AppendUint32(b, store+uint32(len(secret))) // next directory: the thumbnail's
	b = order.AppendUint16(b, 2)
	b = entry(b, 0x0001, ascii, 2, 'N')
	b = entry(b, 0x0002, rational, 2, store) // GPSLatitude
	b = order.AppendUint32(b, 0)
	b = append(b, secret...)
	b = order.AppendUint16(b, 1)
	b = entry(b, orientationTag, short, 1, 3) // the thumbnail's own orientation, not the picture's
	b = order.AppendUint32(b, 0)
	return append(b, secret...)
}

// segment is one JPEG segment.
func segment(marker byte, data string) []byte {
	b := []byte{0xff, marker}
	return append(binary.BigEndian.AppendUint16(b, uint16(len(data)+2)), data...)
}

// privateJPEG encodes img and adds Exif, XMP, ICC, a vendor's segment, a comment, and bytes after the end.
func privateJPEG(t testing.TB, img image.Image, tiff []byte) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 98}); err != nil {
		t.Fatal(err)
	}
	plain := b.Bytes()
	return bytes.Join([][]byte{
		plain[:2],
		segment(0xe0, "JFIF\x00\x01\x02\x00\x00\x01\x00\x01\x00\x00"),
		segment(0xe1, "Exif\x00\x00"+string(tiff)),
		segment(0xe1, "http://ns.adobe.com/xap/1.0/\x00<x>"+secret+"</x>"),
		segment(0xe2, "ICC_PROFILE\x00\x01\x01"+secret),
		segment(0xed, "Photoshop 3.0\x00"+secret),
		segment(0xfe, secret),
		plain[2:],
		[]byte(secret),
	}, nil)
}

// pngChunk is one PNG chunk with its sum.
func pngChunk(name, data string) []byte {
	b := binary.BigEndian.AppendUint32(nil, uint32(len(data)))
	b = append(append(b, name...), data...)
	return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b[4:]))
}

// privatePNG encodes img and adds Exif, texts, a private chunk, and bytes after the end.
func privatePNG(t testing.TB, img image.Image, tiff []byte) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	const head = 8 + 25 // signature and IHDR
	plain := b.Bytes()
	return bytes.Join([][]byte{
		plain[:head],
		pngChunk("tEXt", "Author\x00"+secret),
		pngChunk("iTXt", "XML:com.adobe.xmp\x00\x00\x00\x00\x00"+secret),
		pngChunk("eXIf", string(tiff)),
		pngChunk("prVt", secret),
		plain[head:],
		[]byte(secret),
	}, nil)
}

// privateGIF encodes frames and adds a comment after the first screen descriptor.
func privateGIF(t testing.TB, frames ...*image.Paletted) []byte {
	t.Helper()
	var b bytes.Buffer
	g := gif.GIF{Image: frames, Delay: make([]int, len(frames))}
	if err := gif.EncodeAll(&b, &g); err != nil {
		t.Fatal(err)
	}
	end := b.Len() - 1 // the trailer
	comment := append([]byte{0x21, 0xfe, byte(len(secret))}, secret...)
	return bytes.Join([][]byte{b.Bytes()[:end], comment, {0, 0x3b}}, nil)
}

// bits writes the least bit first, as VP8L does (RFC 9649, 3.3).
type bits struct {
	data []byte
	n    int
}

func (b *bits) put(value, width int) {
	for i := range width {
		if b.n%8 == 0 {
			b.data = append(b.data, 0)
		}
		b.data[b.n/8] |= byte(value>>i&1) << (b.n % 8)
		b.n++
	}
}

// privateWebP makes a lossless picture of one colour: every prefix code has a single symbol, so its pixels take no
// bits (RFC 9649, 3.7.2.1.1). Exif and XMP chunks follow.
func privateWebP(w, h int, c color.NRGBA, tiff []byte) []byte {
	var b bits
	b.put(0x2f, 8)
	b.put(w-1, 14)
	b.put(h-1, 14)
	b.put(1, 1) // alpha is used
	b.put(0, 3) // version
	b.put(0, 3) // no transform, no colour cache, one group of prefix codes
	for _, symbol := range []uint8{c.G, c.R, c.B, c.A, 0} {
		b.put(1, 1) // simple code
		b.put(0, 1) // of one symbol
		b.put(1, 1) // of 8 bits
		b.put(int(symbol), 8)
	}
	chunk := func(name string, data []byte) []byte {
		c := binary.LittleEndian.AppendUint32([]byte(name), uint32(len(data)))
		c = append(c, data...)
		return append(c, make([]byte, len(data)%2)...)
	}
	head := []byte{0x08, 0, 0, 0, byte(w - 1), 0, 0, byte(h - 1), 0, 0} // Exif is present
	body := bytes.Join([][]byte{
		[]byte("WEBP"), chunk("VP8X", head), chunk("VP8L", b.data), chunk("EXIF", tiff), chunk("XMP ", []byte(secret)),
	}, nil)
	return chunk("RIFF", body)
}
