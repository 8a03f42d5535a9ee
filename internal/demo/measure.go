package demo

import (
	"context"
	"fmt"
	"math"
	"path"
	"sort"

	"takeweave/internal/film"
)

// FrameReader decodes a finished film from its first frame to its last as grey
// pictures of width × height, one byte a pixel, 0 black to 255 white, rows from
// the top. visit must not keep grey.
type FrameReader func(ctx context.Context, width, height int, visit func(frame int, grey []byte) error) error

// SparkError is one pluck of the record in a shot that shows the hands, and
// where the picture shows it. Positive errors are a picture later than the sound.
type SparkError struct {
	Shot    int     `json:"shot"`
	String  int     `json:"string"`
	RecordS float64 `json:"record_s"`
	Seen    bool    `json:"seen"` // a spark was seen for it; else the fields below are 0
	FilmS   float64 `json:"film_s"`
	ErrorMS float64 `json:"error_ms"` // FilmS against RecordS
	// FirstFrameMS is the start of the first frame that shows the spark against
	// RecordS: what can be seen without reading its brightness.
	FirstFrameMS float64 `json:"first_frame_ms"`
}

// Limits of the reading. A jump of 0.12 of full light is ten times the noise
// that coding leaves on a core (about 0.01, see TestSparksSurviveCoding).
const (
	minJump      = 0.12
	minLevel     = 0.10  // darker frames say little about the time
	minContrast  = 40.0  // grey levels between pearl and jet
	maxShiftS    = 0.6   // a shot is looked for this far from its place
	sameShiftS   = 0.030 // plucks that agree on a shift
	maxStrayS    = 0.090 // a pluck's own distance from the shift of its shot
	edgeS        = 0.050 // plucks nearer to the ends of a shot are not asked for
	coreMarginPx = 1.2   // of a core's radius: its smoothed edge is not read
)

// MeasureSparks finds, in every shot of the film whose setup shows the inlay,
// the spark of every pluck of the record, and says when the film shows it. It
// reads the pictures; of the truth it uses where the inlay is and when the
// record's plucks are. A spark's time is read from its brightness and decay, to
// a few milliseconds.
//
// Frame k is shown at k/rate. The film has the shape of the clips. A film in
// which no spark is seen at all gives an error.
func MeasureSparks(ctx context.Context, frames FrameReader, day Day, cut film.Cut) ([]SparkError, error) {
	shots := make([]*shotLight, len(cut.Shots))
	width, height := 0, 0
	for i, s := range cut.Shots {
		p := day.passOf(s.File)
		if p == nil || p.Sparks == nil {
			continue
		}
		if width == 0 {
			width, height = p.Width, p.Height
		}
		if p.Width*height != p.Height*width {
			return nil, &film.Error{Code: film.CodeFailed, Path: s.File, Msg: "has another shape than the clips before it", Hint: "measure a film of the demo day"}
		}
		shots[i] = &shotLight{shot: s, sparks: p.Sparks, scale: float64(width) / float64(p.Width)}
	}
	if width == 0 {
		return nil, &film.Error{Code: film.CodeFailed, Msg: "no shot of the film shows the hands", Hint: "cut a film with clips of the demo day"}
	}
	at := 0
	err := frames(ctx, width, height, func(frame int, grey []byte) error {
		for at < len(cut.Shots) && film.Frames(frame) >= cut.Shots[at].End {
			at++
		}
		if at < len(cut.Shots) && shots[at] != nil && film.Frames(frame) >= cut.Shots[at].First {
			shots[at].read(cut.Rate, grey, width, height)
		}
		return ctx.Err()
	})
	if err != nil {
		return nil, err
	}
	var out []SparkError
	seen := 0
	for i, l := range shots {
		if l == nil {
			continue
		}
		for _, e := range l.match(cut.Rate, day.Plucks) {
			e.Shot = i
			if e.Seen {
				seen++
			}
			out = append(out, e)
		}
	}
	if seen == 0 {
		return out, &film.Error{Code: film.CodeFailed, Msg: fmt.Sprintf("none of the %d plucks has a spark in the film's pictures", len(out)), Hint: "measure a film that was cut from the demo day's clips"}
	}
	return out, nil
}

// passOf finds the pass of a shot by its file's name.
func (d *Day) passOf(file string) *Pass {
	for i := range d.Passes {
		if file != "" && path.Base(d.Passes[i].File) == path.Base(file) {
			return &d.Passes[i]
		}
	}
	return nil
}

// shotLight is what the inlay shows over the frames of a shot.
type shotLight struct {
	shot       film.Shot
	sparks     *Sparks
	scale      float64 // film pixels per clip pixel
	pearl, jet []float64
	core       [openStrings][]float64
}

// read takes the light of the inlay's places from the shot's next frame.
func (l *shotLight) read(rate film.Rate, grey []byte, width, height int) {
	t := float64(l.shot.SourceStart) + float64(len(l.pearl))*rate.FrameSeconds()*l.shot.Speed
	dx, dy := swingAt(l.sparks.SwayX, t), swingAt(l.sparks.SwayY, t)
	r := (l.sparks.Radius - coreMarginPx) * l.scale
	mean := func(s Spot) float64 {
		x, y := (s.X+dx)*l.scale, (s.Y+dy)*l.scale
		sum, n := 0.0, 0
		for py := max(0, int(y-r)); py <= min(height-1, int(y+r)); py++ {
			for px := max(0, int(x-r)); px <= min(width-1, int(x+r)); px++ {
				if math.Hypot(float64(px)+0.5-x, float64(py)+0.5-y) <= r {
					sum += float64(grey[py*width+px])
					n++
				}
			}
		}
		return sum / float64(max(1, n))
	}
	l.pearl, l.jet = append(l.pearl, mean(l.sparks.Pearl)), append(l.jet, mean(l.sparks.Jet))
	for s, spot := range l.sparks.String {
		l.core[s] = append(l.core[s], mean(spot))
	}
}

// flash is a spark seen in a shot.
type flash struct {
	filmS  float64 // when the pluck was
	firstS float64 // start of the first frame that shows it
	used   bool
}

// flashes reads the sparks of one string from their brightness.
func (l *shotLight) flashes(rate film.Rate, s int) []flash {
	pearl, jet := median(l.pearl), median(l.jet)
	if pearl-jet < minContrast {
		return nil
	}
	tau := sparkTau / l.shot.Speed
	frame := rate.FrameSeconds()
	start := float64(rate.FrameStart(l.shot.First))
	level := make([]float64, len(l.core[s]))
	for k, v := range l.core[s] {
		level[k] = (v - jet) / (pearl - jet)
	}
	jumps := func(k int) bool { return level[k] > level[k-1]*math.Exp(-frame/tau)+minJump }
	var out []flash
	for k := 1; k < len(level); k++ {
		if !jumps(k) {
			continue
		}
		// The law gives the time from each frame; the error of a level weighs less the brighter it is.
		sum, weight := 0.0, 0.0
		for j := k; j < len(level) && level[j] > minLevel && (j == k || !jumps(j)); j++ {
			w := level[j] * level[j]
			sum += w * (start + float64(j)*frame + tau*math.Log(level[j]))
			weight += w
		}
		if weight > 0 {
			out = append(out, flash{filmS: sum / weight, firstS: start + float64(k)*frame})
		}
	}
	return out
}

// match pairs the record's plucks with the shot's flashes. First the whole shot
// is shifted to where most plucks of all strings agree, so that a large error
// is not taken for a small one to a neighbouring pluck; then each pluck takes
// the nearest flash of its string.
func (l *shotLight) match(rate film.Rate, plucks []Pluck) []SparkError {
	from, to := float64(rate.FrameStart(l.shot.First)), float64(rate.FrameStart(l.shot.End))
	var wanted []Pluck
	for _, p := range plucks {
		if float64(p.SongS) >= from+edgeS && float64(p.SongS) < to-edgeS {
			wanted = append(wanted, p)
		}
	}
	var seen [openStrings][]flash
	for s := range seen {
		seen[s] = l.flashes(rate, s)
	}
	shift := commonShift(wanted, seen)
	out := make([]SparkError, len(wanted))
	for i, p := range wanted {
		out[i] = SparkError{String: p.String, RecordS: float64(p.SongS)}
		f := nearestFlash(seen[p.String], float64(p.SongS)+shift)
		if f == nil || f.used || math.Abs(f.filmS-float64(p.SongS)-shift) > maxStrayS {
			continue
		}
		f.used = true
		out[i].Seen, out[i].FilmS = true, f.filmS
		out[i].ErrorMS = 1000 * (f.filmS - float64(p.SongS))
		out[i].FirstFrameMS = 1000 * (f.firstS - float64(p.SongS))
	}
	return out
}

// commonShift returns the shift, flash minus pluck, on which most plucks
// agree; the smallest of equals.
func commonShift(wanted []Pluck, seen [openStrings][]flash) float64 {
	best, bestCount := 0.0, 0
	for _, p := range wanted {
		for _, f := range seen[p.String] {
			shift := f.filmS - float64(p.SongS)
			if math.Abs(shift) > maxShiftS {
				continue
			}
			count := 0
			for _, q := range wanted {
				if g := nearestFlash(seen[q.String], float64(q.SongS)+shift); g != nil && math.Abs(g.filmS-float64(q.SongS)-shift) <= sameShiftS {
					count++
				}
			}
			if count > bestCount || count == bestCount && math.Abs(shift) < math.Abs(best) {
				best, bestCount = shift, count
			}
		}
	}
	return best
}

// nearestFlash returns the flash nearest to t, or nil; flashes are by time.
func nearestFlash(f []flash, t float64) *flash {
	i := sort.Search(len(f), func(i int) bool { return f[i].filmS >= t })
	if i == len(f) || i > 0 && t-f[i-1].filmS < f[i].filmS-t {
		i--
	}
	if i < 0 {
		return nil
	}
	return &f[i]
}

func median(x []float64) float64 {
	if len(x) == 0 {
		return 0
	}
	y := append([]float64(nil), x...)
	sort.Float64s(y)
	return (y[(len(y)-1)/2] + y[len(y)/2]) / 2
}

// SparkSummary is what the sparks of a film say in a few numbers. The median
// and the 95th percentile are of the errors' sizes, the bias is their median
// with sign.
type SparkSummary struct {
	Plucks   int     `json:"plucks"` // of the record in shots that show the hands
	Seen     int     `json:"seen"`
	MedianMS float64 `json:"median_ms"`
	P95MS    float64 `json:"p95_ms"`
	BiasMS   float64 `json:"bias_ms"`
}

// SummariseSparks sums the errors up; plucks not seen count only in Plucks.
func SummariseSparks(errs []SparkError) SparkSummary {
	s := SparkSummary{Plucks: len(errs)}
	var size, signed []float64
	for _, e := range errs {
		if e.Seen {
			size, signed = append(size, math.Abs(e.ErrorMS)), append(signed, e.ErrorMS)
		}
	}
	s.Seen = len(size)
	if s.Seen == 0 {
		return s
	}
	sort.Float64s(size)
	s.MedianMS, s.BiasMS = median(size), median(signed)
	s.P95MS = size[min(len(size)-1, int(math.Ceil(0.95*float64(len(size))))-1)]
	return s
}
