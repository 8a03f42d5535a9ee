package picture

import (
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"takeweave/internal/dsp"
)

// TestNetAnswersAsPublished compares the whole net with the implementation that
// its weights are published with [TinyFace].
func TestNetAnswersAsPublished(t *testing.T) {
	text, err := os.ReadFile("testdata/net-pattern-96.csv")
	if err != nil {
		t.Fatal(err)
	}
	const side = 96
	rgb := make([]byte, side*side*3)
	for y := range side {
		for x := range side {
			for c := range 3 {
				rgb[(y*side+x)*3+c] = byte(x*x + 3*y*y + x*y + c*61*(x-y)*(x-y)%97 + 50*c)
			}
		}
	}
	f := finder(t, side)
	got := f.net.run(f.canvas(rgb, side, side))
	if got.width != 3 || got.height != 3 || got.depth != 25 {
		t.Fatalf("%d x %d x %d values", got.width, got.height, got.depth)
	}
	// The published values have 5 decimals; they reach 40, in float32.
	const tolerance = 1e-4
	for i, s := range strings.Split(strings.TrimSpace(string(text)), ",") {
		want, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(float64(got.data[i])-want) > tolerance {
			t.Errorf("value %d: %v, want %v", i, got.data[i], want)
		}
	}
}

// grid is a picture of one value per pixel.
func grid(width int, values ...float32) image {
	return image{width, len(values) / width, 1, values}
}

// TestLayers works each kind of layer by hand on a few numbers.
func TestLayers(t *testing.T) {
	counting := make([]float32, 9)
	for i := range counting {
		counting[i] = float32(i + 1)
	}
	// Two values out of one: the value itself and its double, each with a bias.
	mix := layer{mix: &dsp.Columns{Rows: 2, Dim: 1, Data: []float32{1, 2}}, bias: []float32{10, 0}}
	whole := layer{mix: &dsp.Columns{Rows: 1, Dim: 9, Data: counting}, bias: []float32{-1}}
	filter := layer{filter: counting}
	leaking := grid(2, -5, 3, 0, -1)
	leaking.leak()
	for _, c := range []struct {
		name string
		got  image
		want []float32
	}{
		{"mixed", mix.mixed(grid(2, 3, -1)), []float32{13, 6, 9, -2}},
		// 1·1 + 2·2 + … + 9·9 = 285, less the bias.
		{"one window", whole.windows(grid(3, counting...)), []float32{284}},
		// A single 1 in the middle is seen from around, turned about.
		{"filtered", filter.filtered(grid(3, 0, 0, 0, 0, 1, 0, 0, 0, 0)), []float32{9, 8, 7, 6, 5, 4, 3, 2, 1}},
		// In a corner only the filter's own last four fall inside: 5+6+8+9.
		{"filtered at a corner", filter.filtered(grid(2, 1, 1, 1, 1)), []float32{28, 24, 16, 12}},
		{"halved, odd", grid(3, 1, 2, 3, 4, 5, 6, 7, 8, -9).halved(), []float32{5, 6, 8, -9}},
		{"spread", grid(2, 1, 2, 3, 0).spread(), []float32{3, 2, 3, 0}},
		{"leaked", leaking, []float32{-0.5, 3, 0, -0.1}},
	} {
		if len(c.got.data) != len(c.want) {
			t.Errorf("%s: %v, want %v", c.name, c.got.data, c.want)
			continue
		}
		for i, v := range c.want {
			if c.got.data[i] != v {
				t.Errorf("%s: %v, want %v", c.name, c.got.data, c.want)
				break
			}
		}
	}
}

func TestWeights(t *testing.T) {
	manifest := `[{"weights": [{"name": "a", "shape": [2, 1], "quantization": {"scale": 0.5, "min": -1}}, {"name": "b", "shape": [1], "quantization": {"scale": 1, "min": 0}}]}]`
	arrays, err := weights([]byte(manifest), []byte{0, 4, 7})
	if err != nil || len(arrays["a"]) != 2 || arrays["a"][0] != -1 || arrays["a"][1] != 1 || arrays["b"][0] != 7 {
		t.Errorf("%v, %v", arrays, err)
	}
	for _, packed := range [][]byte{{0, 4}, {0, 4, 7, 1}} {
		if _, err := weights([]byte(manifest), packed); err == nil {
			t.Errorf("%d bytes are taken for 3", len(packed))
		}
	}
	if _, err := weights([]byte("["), nil); err == nil {
		t.Error("a broken manifest is taken")
	}
}
