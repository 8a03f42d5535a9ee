package lineup

import (
	"math"
	"math/rand/v2"
	"testing"
)

func line(from, seconds, pass, slope float64) *curve {
	c := &curve{from: from}
	for i := range int(seconds/curveStep) + 1 {
		c.pass = append(c.pass, pass+slope*float64(i)*curveStep)
	}
	return c
}

func TestSmoothRepairsASlipAndKeepsTheBend(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	want := line(10, 40, 5, 1.05)
	for i := range want.pass {
		want.pass[i] += 0.1 * math.Sin(float64(i)*curveStep/4)
	}
	got := &curve{want.from, append([]float64(nil), want.pass...)}
	for i := range got.pass {
		got.pass[i] += 0.01 * r.NormFloat64()
		if i > 300 && i < 308 { // 0.35 s are an eighth note off
			got.pass[i] += 0.25
		}
	}
	got.smooth(2.5)
	for i := range got.pass {
		if d := math.Abs(got.pass[i] - want.pass[i]); d > 0.05 { // a fifth of the slip
			t.Fatalf("at song %.2f s off by %.0f ms", got.song(i), 1000*d)
		}
	}
}

func TestMakeRising(t *testing.T) {
	c := line(0, 10, 0, 1)
	c.pass[100] -= 1
	c.pass[150] += 1
	c.makeRising(0.3)
	for i := 1; i < len(c.pass); i++ {
		if c.pass[i]-c.pass[i-1] < 0.3*curveStep-1e-9 {
			t.Fatalf("point %d rises by %g s", i, c.pass[i]-c.pass[i-1])
		}
	}
	if d := math.Abs(c.pass[50] - 2.5); d > 1e-9 {
		t.Errorf("a place far from the dents moved by %g s", d)
	}
}

// The knots' straight lines stay within tolerance of every point they left out.
func TestCornersKeepTheCurve(t *testing.T) {
	c := line(3, 30, 8, 0.97)
	for i := range c.pass {
		c.pass[i] += 0.05 * math.Sin(float64(i)*curveStep)
	}
	keep := corners(c, 0.003)
	if keep[0] != 0 || keep[len(keep)-1] != len(c.pass)-1 || len(keep) > len(c.pass)/3 {
		t.Fatalf("%d of %d points kept, first %d, last %d", len(keep), len(c.pass), keep[0], keep[len(keep)-1])
	}
	for k := 1; k < len(keep); k++ {
		a, b := keep[k-1], keep[k]
		for i := a; i <= b; i++ {
			on := c.pass[a] + (c.pass[b]-c.pass[a])*float64(i-a)/float64(b-a)
			if math.Abs(on-c.pass[i]) > 0.003 {
				t.Fatalf("point %d is %.1f ms off the line", i, 1000*math.Abs(on-c.pass[i]))
			}
		}
	}
}

func TestCurveAtAndSongAtAreInverse(t *testing.T) {
	c := line(2, 20, 7, 1.1)
	for _, s := range []float64{2, 3.333, 21.9} {
		if got := c.songAt(c.at(s)); math.Abs(got-s) > 1e-6 {
			t.Errorf("song %.3f comes back as %.6f", s, got)
		}
	}
	if got := c.at(1); math.Abs(got-6) > 1e-9 {
		t.Errorf("before the curve at slope 1: %g, want 6", got)
	}
}

func TestExtendedStaysInsideBothRecordings(t *testing.T) {
	c := line(1, 20, 2, 1.2).extended(4, 30, 27)
	n := len(c.pass)
	if c.from < 0 || c.pass[0] < 0 || c.to() > 30 || c.pass[n-1] > 27 {
		t.Errorf("song %.2f to %.2f, pass %.2f to %.2f", c.from, c.to(), c.pass[0], c.pass[n-1])
	}
	if got := c.slope(c.to()-0.5, 0.5); math.Abs(got-1.2) > 1e-6 {
		t.Errorf("goes on at %.3f, want 1.2", got)
	}
}

// Two curves, the second from pass 12 s on; between 10 and 12 neither fits.
func TestAssignFindsTheChange(t *testing.T) {
	curves := []*curve{line(0, 20, 0, 1), line(30, 20, 8, 1)}
	evidences := make([]*evidence, 2)
	for k, c := range curves {
		e := &evidence{}
		for i := 0; i < len(c.pass); i += 2 {
			fit := -1.5
			if (k == 0 && c.pass[i] < 10) || (k == 1 && c.pass[i] >= 12) {
				fit = 1.5
			}
			e.song, e.pass, e.fit = append(e.song, c.song(i)), append(e.pass, c.pass[i]), append(e.fit, fit)
		}
		evidences[k] = e
	}
	parts := assign(curves, evidences)
	if len(parts) != 2 || parts[0].curve != 0 || parts[1].curve != 1 {
		t.Fatalf("%+v, want curve 0, then 1", parts)
	}
	if math.Abs(parts[0].passTo-10) > 0.21 || math.Abs(parts[1].passFrom-12) > 0.21 {
		t.Errorf("%+v, want an end at 10 and a start at 12", parts)
	}
}

// The model follows a jump back and leaves the song for what is not in it.
func TestFollowJumpsAndLeaves(t *testing.T) {
	const rows, n = 150, 60
	s := make([]float32, rows*n)
	want := make([]int, rows)
	for i := range rows {
		switch {
		case i < 50:
			want[i] = i
		case i < 90:
			want[i] = -1
		default:
			want[i] = i - 90
		}
		if want[i] >= 0 {
			s[i*n+want[i]] = 6
		}
	}
	got := follow(func(t int) []float32 { return s[t*n : (t+1)*n] }, rows, n, 0, 1, 1).at
	wrong := 0
	for i := range got {
		if got[i] != want[i] {
			wrong++
		}
	}
	if wrong > 4 { // the gates may lie a row or two off
		t.Errorf("%d of %d rows wrong: %v", wrong, rows, got)
	}
}
