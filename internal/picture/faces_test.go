package picture

import (
	"crypto/sha256"
	"encoding/hex"
	stdimage "image"
	_ "image/jpeg"
	"math"
	"os"
	"strings"
	"testing"

	"golang.org/x/image/draw"
)

func finder(t testing.TB, side int) *Finder {
	t.Helper()
	f, err := NewFinder(side)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// rgbOf reads a picture of the test data, scaled to width.
func rgbOf(t testing.TB, name string, width int) (rgb []byte, height int) {
	t.Helper()
	file, err := os.Open("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	from, _, err := stdimage.Decode(file)
	if err != nil {
		t.Fatal(err)
	}
	height = from.Bounds().Dy() * width / from.Bounds().Dx()
	to := stdimage.NewRGBA(stdimage.Rect(0, 0, width, height))
	draw.BiLinear.Scale(to, to.Bounds(), from, from.Bounds(), draw.Src, nil)
	for i, v := range to.Pix {
		if i%4 != 3 {
			rgb = append(rgb, v)
		}
	}
	return rgb, height
}

// TestFind compares what is found with what the published implementation finds
// in the same pictures [TinyFace]; there the pixels come from another scaler.
func TestFind(t *testing.T) {
	for _, c := range []struct {
		name  string
		width int
		want  []Face
	}{
		{"portrait.jpg", 416, []Face{{Box{0.3194, 0.1479, 0.2247, 0.2157}, 0.9726}}},
		{"portrait.jpg", 224, []Face{{Box{0.3200, 0.1635, 0.2347, 0.2041}, 0.6032}}},
		{"singers.jpg", 416, []Face{{Box{0.4739, 0.2812, 0.1605, 0.1922}, 0.8413}, {Box{0.2261, 0.2430, 0.1590, 0.1915}, 0.7338}}},
		{"singers.jpg", 224, nil}, // too small for it
	} {
		rgb, height := rgbOf(t, c.name, c.width)
		got := finder(t, c.width).Find(rgb, c.width, height)
		if len(got) != len(c.want) {
			t.Errorf("%s at %d: %+v, want %d faces", c.name, c.width, got, len(c.want))
			continue
		}
		for i, f := range got {
			if f.Box.shared(c.want[i].Box) < 0.8 || math.Abs(f.Confidence-c.want[i].Confidence) > 0.15 {
				t.Errorf("%s at %d: %+v, want %+v", c.name, c.width, f, c.want[i])
			}
		}
	}
}

// TestFindElsewhere moves the portrait about in an empty picture: the box moves
// with it.
func TestFindElsewhere(t *testing.T) {
	rgb, _ := rgbOf(t, "portrait.jpg", 192)
	f := finder(t, 416)
	for _, left := range []int{0, 64, 160} {
		const width, height = 416, 234
		wide := make([]byte, 3*width*height)
		for y := range 192 {
			copy(wide[3*((y+32)*width+left):], rgb[3*y*192:3*(y+1)*192])
		}
		want := Box{(float64(left) + 0.3194*192) / width, (32 + 0.1479*192) / height, 0.2247 * 192 / width, 0.2157 * 192 / height}
		got := f.Find(wide, width, height)
		if len(got) != 1 || got[0].Box.shared(want) < 0.6 {
			t.Errorf("at %d: %+v, want %+v", left, got, want)
		}
	}
}

func TestFindNothing(t *testing.T) {
	const width, height = 224, 126
	flat, noise := make([]byte, 3*width*height), make([]byte, 3*width*height)
	random := chance(3)
	for i := range noise {
		flat[i], noise[i] = 128, byte(256*random())
	}
	for name, rgb := range map[string][]byte{"an even grey": flat, "noise": noise} {
		if got := finder(t, 224).Find(rgb, width, height); len(got) > 0 {
			t.Errorf("%s: %+v", name, got)
		}
	}
}

func TestDistinct(t *testing.T) {
	got := distinct([]Face{
		{Box{0.1, 0.1, 0.2, 0.2}, 0.6},
		{Box{0.11, 0.1, 0.2, 0.2}, 0.9}, // nearly the same place, surer
		{Box{0.25, 0.1, 0.2, 0.2}, 0.7}, // shares a seventh with it
		{Box{0.9, 0.9, 0.2, 0.2}, 0.8},  // reaches out of the picture
	})
	if len(got) != 3 || got[0].Confidence != 0.9 || got[1].Confidence != 0.8 || got[2].Confidence != 0.7 {
		t.Fatalf("%+v", got)
	}
	if b := got[1].Box; math.Abs(b.X+b.W-1) > 1e-12 || math.Abs(b.Y+b.H-1) > 1e-12 {
		t.Errorf("%+v reaches out of the picture", b)
	}
}

func TestFinderSizes(t *testing.T) {
	for _, side := range []int{0, 32, 100, -64} {
		if _, err := NewFinder(side); err == nil {
			t.Errorf("a finder of %d pixels", side)
		}
	}
}

// TestModelIsUnchanged keeps the vendored files to what their page says.
func TestModelIsUnchanged(t *testing.T) {
	page, err := os.ReadFile("model/README.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range [][]byte{weightBytes, weightManifest} {
		sum := sha256.Sum256(b)
		if !strings.Contains(string(page), hex.EncodeToString(sum[:])) {
			t.Errorf("a file of %d bytes has a sum that model/README.md does not have", len(b))
		}
	}
}

func BenchmarkFind(b *testing.B) {
	for _, c := range []struct {
		name                string
		side, width, height int
	}{{"224", 224, 224, 126}, {"416", 416, 416, 234}} {
		b.Run(c.name, func(b *testing.B) {
			f, rgb := finder(b, c.side), make([]byte, 3*c.width*c.height)
			for b.Loop() {
				f.Find(rgb, c.width, c.height)
			}
		})
	}
}
