package photo

import (
	"image"
	"image/draw"
	"math"
)

// Resizing is separable convolution with the Catmull-Rom cubic (Mitchell and Netravali, "Reconstruction Filters in
// Computer Graphics", SIGGRAPH 1988: B = 0, C = 1/2), stretched so that it averages when it shrinks. Weights are
// whole numbers, so every machine gives the same bytes; and only the few rows under the filter are held, where a
// general scaler holds a column-resized copy of the whole picture.

const (
	one     = 1 << 14 // the sum of the weights of one pixel
	between = 8       // bits dropped after the rows, so that the columns' sums stay within 32 bits
)

// reach is the run of source pixels, and their weights, that make one pixel.
type reach struct {
	from    int
	weights []int32
}

// reaches works out the filter for n pixels made from size pixels, n ≤ size.
func reaches(n, size int) []reach {
	all := make([]reach, n)
	scale := float64(size) / float64(n)
	for i := range all {
		centre := float64((float64(i)+0.5)*scale) - 0.5
		from := max(0, int(math.Ceil(centre-2*scale)))
		to := min(size-1, int(math.Floor(centre+2*scale)))
		raw := make([]float64, to-from+1)
		sum := 0.0
		for k := range raw {
			raw[k] = catmullRom(math.Abs(float64(from+k)-centre) / scale)
			sum += raw[k]
		}
		weights := make([]int32, len(raw))
		left := int32(one)
		for k := range raw {
			weights[k] = int32(math.Round(raw[k] / sum * one))
			left -= weights[k]
		}
		weights[len(weights)/2] += left // what rounding left goes to the middle
		all[i] = reach{from, weights}
	}
	return all
}

// catmullRom gives the filter's height at distance t ≥ 0. The conversions keep multiplication and addition apart:
// processors that fuse them round otherwise.
func catmullRom(t float64) float64 {
	switch {
	case t < 1:
		return float64(float64(float64(1.5*t)-2.5)*float64(t*t)) + 1
	case t < 2:
		return float64(float64(float64(float64(float64(-0.5*t)+2.5)*t)-4)*t) + 2
	}
	return 0
}

// resize makes the picture w × h pixels, neither larger than it was.
func resize(img image.Image, w, h int) *image.RGBA {
	b := img.Bounds()
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	across, down := reaches(w, b.Dx()), reaches(h, b.Dy())
	tall := 0
	for _, r := range down {
		tall = max(tall, len(r.weights))
	}
	line := image.NewRGBA(image.Rect(0, 0, b.Dx(), 1))
	rows := make([][]int32, tall) // source row y, resized across, is rows[y%tall]
	for i := range rows {
		rows[i] = make([]int32, 4*w)
	}
	sums := make([]int32, 4*w)
	next := 0
	for y, r := range down {
		for ; next < r.from+len(r.weights); next++ {
			if next >= r.from {
				draw.Draw(line, line.Rect, img, image.Pt(b.Min.X, b.Min.Y+next), draw.Src)
				resizeRow(rows[next%tall], line.Pix, across)
			}
		}
		clear(sums)
		for k, weight := range r.weights {
			for i, v := range rows[(r.from+k)%tall] {
				sums[i] += weight * v
			}
		}
		settle(out.Pix[y*out.Stride:][:4*w], sums)
	}
	return out
}

func resizeRow(out []int32, pix []uint8, across []reach) {
	for x, reach := range across {
		var r, g, b, a int32
		p := pix[4*reach.from:]
		for _, weight := range reach.weights {
			r += weight * int32(p[0])
			g += weight * int32(p[1])
			b += weight * int32(p[2])
			a += weight * int32(p[3])
			p = p[4:]
		}
		o := out[4*x : 4*x+4]
		o[0], o[1], o[2], o[3] = r>>between, g>>between, b>>between, a>>between
	}
}

// settle brings sums back to bytes. The filter overshoots at sharp edges; a colour may not exceed its alpha.
func settle(out []uint8, sums []int32) {
	const shift = 14 + 14 - between
	for i := 0; i < len(out); i += 4 {
		a := bounded((sums[i+3]+1<<(shift-1))>>shift, 255)
		out[i+3] = uint8(a)
		for c := i; c < i+3; c++ {
			out[c] = uint8(bounded((sums[c]+1<<(shift-1))>>shift, a))
		}
	}
}

func bounded(v, most int32) int32 { return max(0, min(v, most)) }
