package photo

import (
	"bytes"
	"encoding/binary"
	"image"
)

// orientation is the value of the Exif tag 0x0112, 1 to 8: which edges of the seen picture the stored first row and
// first column are (CIPA DC-008, Exif 2.3, tag 274, Orientation).
type orientation uint16

const upright orientation = 1

const (
	orientationTag = 0x0112
	shortType      = 3 // TIFF's unsigned 16-bit number
)

// turns says for each orientation how to go from a place in the seen picture to the place in the stored one:
// change axes, then count x, then y, from the far end.
var turns = [9]struct{ swap, flipX, flipY bool }{
	1: {},                                     // row 0 top, column 0 left
	2: {flipX: true},                          // top, right
	3: {flipX: true, flipY: true},             // bottom, right
	4: {flipY: true},                          // bottom, left
	5: {swap: true},                           // left, top
	6: {swap: true, flipY: true},              // right, top
	7: {swap: true, flipX: true, flipY: true}, // right, bottom
	8: {swap: true, flipX: true},              // left, bottom
}

// apply gives the picture as it is to be seen.
func (o orientation) apply(img image.Image) image.Image {
	if o == upright {
		return img
	}
	turn := turns[o]
	stored := toRGBA(img)
	w, h := stored.Rect.Dx(), stored.Rect.Dy()
	seen := image.NewRGBA(image.Rect(0, 0, w, h))
	if turn.swap {
		seen = image.NewRGBA(image.Rect(0, 0, h, w))
	}
	for y := range seen.Rect.Dy() {
		for x := range seen.Rect.Dx() {
			sx, sy := x, y
			if turn.swap {
				sx, sy = y, x
			}
			if turn.flipX {
				sx = w - 1 - sx
			}
			if turn.flipY {
				sy = h - 1 - sy
			}
			copy(seen.Pix[y*seen.Stride+4*x:][:4], stored.Pix[sy*stored.Stride+4*sx:][:4])
		}
	}
	return seen
}

// orientationIn reads the orientation from the first directory of a TIFF structure. What is missing, broken or out
// of range counts as upright, as viewers take it.
func orientationIn(tiff []byte) orientation {
	if len(tiff) < 8 {
		return upright
	}
	var order binary.ByteOrder
	switch string(tiff[:4]) {
	case "II*\x00":
		order = binary.LittleEndian
	case "MM\x00*":
		order = binary.BigEndian
	default:
		return upright
	}
	start := int64(order.Uint32(tiff[4:]))
	if start+2 > int64(len(tiff)) {
		return upright
	}
	count := order.Uint16(tiff[start:])
	entries := tiff[start+2:]
	for ; count > 0 && len(entries) >= 12; count, entries = count-1, entries[12:] {
		if order.Uint16(entries) != orientationTag {
			continue
		}
		value := orientation(order.Uint16(entries[8:]))
		if order.Uint16(entries[2:]) != shortType || order.Uint32(entries[4:]) != 1 || value < 1 || value > 8 {
			return upright
		}
		return value
	}
	return upright
}

// exifInJPEG finds the Exif segment (Exif 2.3, 4.7.2) before the picture's own data.
func exifInJPEG(data []byte) []byte {
	for data = data[2:]; len(data) >= 4 && data[0] == 0xff; {
		marker, size := data[1], int(binary.BigEndian.Uint16(data[2:]))
		switch {
		case marker == 0xff: // fill
			data = data[1:]
			continue
		case marker == 0xda, size < 2, size+2 > len(data): // the scan begins, or the file is broken
			return nil
		}
		if tiff, ok := bytes.CutPrefix(data[4:2+size], []byte("Exif\x00\x00")); ok && marker == 0xe1 {
			return tiff
		}
		data = data[2+size:]
	}
	return nil
}

// exifInPNG finds the eXIf chunk (PNG, third edition, 11.3.4.5).
func exifInPNG(data []byte) []byte {
	return chunk(data[8:], "eXIf", func(head []byte) (name []byte, size int64, begin int) {
		return head[4:8], int64(binary.BigEndian.Uint32(head)) + 4, 8 // a sum of 4 bytes ends each chunk
	})
}

// exifInWebP finds the EXIF chunk (RFC 9649, 2.7.1.5). Some programs put the JPEG segment's name before it.
func exifInWebP(data []byte) []byte {
	tiff := chunk(data[12:], "EXIF", func(head []byte) (name []byte, size int64, begin int) {
		size = int64(binary.LittleEndian.Uint32(head[4:]))
		return head[:4], size + size%2, 8 // chunks are padded to even size
	})
	return bytes.TrimPrefix(tiff, []byte("Exif\x00\x00"))
}

// chunk finds the first chunk of a name; read takes a chunk's head of 8 bytes apart.
func chunk(data []byte, want string, read func(head []byte) (name []byte, size int64, begin int)) []byte {
	for len(data) >= 8 {
		name, size, begin := read(data[:8])
		data = data[begin:]
		if size > int64(len(data)) {
			return nil
		}
		if string(name) == want {
			return data[:size]
		}
		data = data[size:]
	}
	return nil
}
