package dsp

import (
	"encoding/binary"
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat"
	"pgregory.net/rapid"
)

func TestCompressAgainstMath(t *testing.T) { onBothPaths(t, testCompressAgainstMath) }

func testCompressAgainstMath(t *testing.T) {
	const loud = 0.7
	s := &Series{50, 0, 1, nil}
	for x := 1e-4; x < 1e9; x *= 1.37 {
		s.Data = append(s.Data, float32(x))
	}
	s.Data = append(s.Data, 0)
	in := slices.Clone(s.Data)
	Compress(s, loud)
	for i, x := range in {
		want := math.Log1p(30 * float64(x) / loud)
		if got := float64(s.Data[i]); math.Abs(got-want) > 2e-5*(1+want) {
			t.Errorf("%g becomes %g, want %g", x, got, want)
		}
	}
	Compress(s, 0)
	if slices.Max(s.Data) != 0 {
		t.Error("silence does not become 0")
	}
}

func TestCorrelateAgainstTheSum(t *testing.T) {
	a, b := noise(37, 1), noise(90, 2)
	got := Correlate(a, b)
	for lag := -36; lag < 90; lag++ {
		var want float64
		for i, v := range a {
			if j := i + lag; j >= 0 && j < len(b) {
				want += float64(v) * float64(b[j])
			}
		}
		if d := math.Abs(float64(got[lag+36]) - want); d > 1e-4 {
			t.Fatalf("lag %d: %g want %g", lag, got[lag+36], want)
		}
	}
}

func TestParabolaFindsItsOwnTop(t *testing.T) {
	for _, top := range []float64{-0.49, -0.2, 0, 0.31, 0.5} {
		y := func(x float64) float64 { return 3 - 2*(x-top)*(x-top) }
		at, height := Parabola(y(-1), y(0), y(1))
		if math.Abs(at-top) > 1e-12 || math.Abs(height-3) > 1e-12 {
			t.Errorf("top %g: got %g height %g", top, at, height)
		}
	}
	if at, height := Parabola(1, 2, 3); at != 0 || height != 2 {
		t.Errorf("a slope has no peak: got %g %g", at, height)
	}
}

func TestTopPeaks(t *testing.T) {
	got := TopPeaks([]float32{0, 3, 0, 2.9, 0, 0, 5, 1, 2}, 3, 3)
	want := []Peak{{6, 5}, {1, 3}, {3, 2.9}}
	want = want[:2]
	if len(got) < 2 || !slices.Equal(got[:2], want) {
		t.Errorf("got %v, want first %v", got, want)
	}
	for _, p := range got {
		if p.At == 3 {
			t.Errorf("3 is closer than 3 to 1: %v", got)
		}
	}
}

func TestQuantileAgainstGonum(t *testing.T) {
	v := make([]float64, 101)
	for i := range v {
		v[i] = float64((i * 37) % 101)
	}
	sorted := slices.Clone(v)
	slices.Sort(sorted)
	for _, q := range []float64{0, 0.25, 0.5, 0.9, 1} {
		// 101 values 0..100: at these quantiles every definition agrees to one rank.
		if got, want := Quantile(slices.Clone(v), q), stat.Quantile(q, stat.LinInterp, sorted, nil); math.Abs(got-want) > 1 {
			t.Errorf("quantile %g: %g want %g", q, got, want)
		}
	}
	if got := Median([]float64{1, 2, 4, 9}); got != 3 {
		t.Errorf("median %g, want 3", got)
	}
}

// The twin sorts. Few different values make many equal ones.
func TestQuantileAgainstSorting(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.SliceOfN(rapid.Float32Range(0, 3), 1, 120).Draw(t, "values")
		if rapid.Bool().Draw(t, "coarse") {
			for i := range v {
				v[i] = float32(int(v[i]))
			}
		}
		q := rapid.Float64Range(0, 1).Draw(t, "q")
		sorted := slices.Sorted(slices.Values(v))
		x := q * float64(len(v)-1)
		i := int(x)
		part := float32(x - float64(i))
		want := sorted[i]*(1-part) + sorted[min(i+1, len(v)-1)]*part
		if got := sortedQuantile(sorted, q); got != want {
			t.Fatalf("quantile %g of sorted values: %g want %g", q, got, want)
		}
		if got := Quantile(v, q); got != want && math.Abs(float64(got-want)) > 1e-6 {
			t.Fatalf("quantile %g: %g want %g", q, got, want)
		}
	})
}

func TestMelBankWeightsSumToOne(t *testing.T) {
	for _, bands := range []int{12, 32} {
		b := NewMelBank(1024, AnalysisRate, bands, 120, 9000)
		flat := make([]float32, 513*lanes)
		for i := range flat {
			flat[i] = 1
		}
		out := make([][lanes]float32, bands)
		b.apply(out, flat)
		for i, row := range out {
			for _, v := range row {
				if math.Abs(float64(v)-1) > 1e-5 {
					t.Errorf("%d bands, band %d: %g, want 1", bands, i, v)
				}
			}
		}
	}
}

func TestSeriesAtAndPart(t *testing.T) {
	s := NewSeries(10, 5, 1, 10) // 0.5 s to 1.4 s
	for i := range s.Rows() {
		s.Row(i)[0] = float32(i)
	}
	row := make([]float32, 1)
	for _, c := range []struct {
		t    float64
		want float32
	}{{0.5, 0}, {0.85, 3.5}, {1.4, 9}, {0.2, 0}, {2, 0}} {
		if s.At(row, c.t); math.Abs(float64(row[0]-c.want)) > 1e-5 {
			t.Errorf("at %g s: %g want %g", c.t, row[0], c.want)
		}
	}
	if p := s.Part(0.7, 1.0); p.First != 7 || p.Rows() != 3 || p.Row(0)[0] != 2 {
		t.Errorf("part: first %d, %d rows", p.First, p.Rows())
	}
}

// A constant stays a constant, and kept rows stay at their own times.
func TestSmoothKeepsConstantsAndTimes(t *testing.T) {
	for _, first := range []int{-7, 0, 3, 10} {
		s := NewSeries(50, first, 2, 200)
		for i := range s.Rows() {
			s.Row(i)[0], s.Row(i)[1] = 2, float32(s.Time(i))
		}
		out := s.Smooth(0.5, 10)
		if out.Hz != 5 || out.Rows() < 19 || out.Rows() > 20 {
			t.Fatalf("first %d: %d rows at %g Hz", first, out.Rows(), out.Hz)
		}
		for i := 2; i < out.Rows()-2; i++ {
			if r := out.Row(i); math.Abs(float64(r[0]-2)) > 1e-5 || math.Abs(float64(r[1])-out.Time(i)) > 1e-4 {
				t.Errorf("first %d row %d at %g s: %v", first, i, out.Time(i), r)
			}
		}
	}
}

func TestRiseAgainstItsDefinition(t *testing.T) {
	onBothPaths(t, func(t *testing.T) {
		for _, n := range []int{0, 1, 3, 4, 5, 40} {
			s := &Series{200, 4, 3, noise(3*n, 8)}
			out := Rise(s, 0.025) // 5 rows: from 2 before to 3 after
			for i := range n {
				for d, v := range out.Row(i) {
					want := max(0, s.Row(min(i+3, n-1))[d]-s.Row(max(i-2, 0))[d])
					if v != want {
						t.Fatalf("%d rows, row %d: %g want %g", n, i, v, want)
					}
				}
			}
		}
	})
}

func TestFromInt16(t *testing.T) {
	onBothPaths(t, func(t *testing.T) {
		var raw []byte
		var want []float32
		for v := -32768; v < 32768; v += 77 {
			raw = binary.LittleEndian.AppendUint16(raw, uint16(int16(v)))
			want = append(want, float32(v)/32768)
		}
		got := make([]float32, len(want))
		if FromInt16(got, raw); !slices.Equal(got, want) {
			t.Error("samples changed on the way")
		}
	})
}

func TestSliceReadsZerosOutside(t *testing.T) {
	s := Slice{10, []float32{1, 2, 3}}
	for from, want := range map[int][]float32{-1: {0, 1, 2, 3, 0}, 2: {3, 0, 0, 0, 0}, 9: {0, 0, 0, 0, 0}, -9: {0, 0, 0, 0, 0}} {
		got := []float32{9, 9, 9, 9, 9}
		if err := s.Read(got, from); err != nil || !slices.Equal(got, want) {
			t.Errorf("from %d: %v (%v), want %v", from, got, err, want)
		}
	}
}
