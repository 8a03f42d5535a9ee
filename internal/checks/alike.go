package checks

import (
	"fmt"
	"slices"

	"takeweave/internal/film"
)

// The picture is compared in blocks of a fortieth of its width: a moving mouth or
// hand is small.
const blockCols, blockRows = 40, 20

// Two frames are alike when no block changes by more than alikeCodes on average,
// or by alikeShare of what it changes before and after, but at most
// mostAlikeCodes; and they stand out as alike when the changes before and after
// are at least standOutCodes and 1/standOut times as great.
//
// Set by frames repeated by hand in nine real and drawn clips, encoded as H.264 at
// quality factors 18 and 22 and looked at in 320 x 180: in eight of them nine
// tenths changed by less than 2.0, beside motion of 50 and more by at most 3.4;
// the change next to a repeat was seldom less than four times as great where
// anything moved. Among untouched frames in motion the ratio was 0.27 and more,
// but for two instants in which a drawn hand paused. standOutCodes keeps clear of
// what pauses in a drawn film changed by, 3.9; a repeated frame of a subject that
// moves less is seen neither by this check nor, much, by the eye.
//
// Where only a hand pauses for a frame, the rest of the picture goes on: the change
// that nine tenths of the blocks stay below must fall to restShare as well, unless
// the rest is stiller than stillCodes anyway. Among repeats by hand and of a lower
// rate in ten clips, it fell to 0.25 and less; where a hand paused, to 0.64 and more.
const (
	alikeCodes     = 1.7
	alikeShare     = 0.05
	mostAlikeCodes = 3.4
	standOutCodes  = 4.5
	standOut       = 0.25
	restShare      = 0.4
)

// stillCodes is a change below what even a still subject shows after encoding:
// the least in those clips was 0.24. A second of it is a freeze, whatever comes
// before and after.
const (
	stillCodes   = 0.2
	stillSeconds = 1.0
)

// changeFrom returns how much the block that changed most did since the frame
// before, and what nine tenths of the blocks stay below, in codes on average; 0 for
// the first frame.
func (p *Pictures) changeFrom(y []byte) (most, rest float32) {
	if p.before == nil {
		return 0, 0
	}
	clear(p.blocks)
	for row := range p.height {
		now, then := y[row*p.width:(row+1)*p.width], p.before[row*p.width:(row+1)*p.width]
		at := row * blockRows / p.height * blockCols
		for col := range blockCols {
			from, to := col*p.width/blockCols, (col+1)*p.width/blockCols
			sum := 0
			for i, v := range now[from:to] {
				d := int(v) - int(then[from+i])
				sum += max(d, -d)
			}
			p.blocks[at+col] += sum
		}
	}
	slices.Sort(p.blocks)
	scale := blockCols * blockRows / float32(p.width*p.height)
	return float32(p.blocks[len(p.blocks)-1]) * scale, float32(p.blocks[len(p.blocks)*9/10]) * scale
}

// alike returns the freezes and the repeated frames.
func (p *Pictures) alike() []Finding {
	var out, repeats []Finding
	for f := film.Frames(1); f < p.frames; f++ {
		if p.starts[f] || !p.isAlike(f) {
			continue
		}
		end := f + 1
		for end < p.frames && !p.starts[end] && p.isAlike(end) {
			end++
		}
		n := end - f // frames that are like the one before them
		switch {
		case p.still(f, end):
			out = append(out, Finding{Frozen, f - 1, end, fmt.Sprintf("the picture stands still for %d frames", n+1), float64(n + 1), float64(p.limits.FrozenFrames)})
		case !p.standsOut(f, end):
		case n+1 >= p.limits.FrozenFrames:
			out = append(out, Finding{Frozen, f - 1, end, fmt.Sprintf("the picture freezes for %d frames", n+1), float64(n + 1), float64(p.limits.FrozenFrames)})
		default:
			repeats = append(repeats, Finding{Repeated, f, end, count(n, "repeated frame"), float64(n), 0})
		}
		f = end
	}
	return append(out, p.together(repeats)...)
}

// isAlike reports whether frame f is like the one before it. Black frames are
// told as such.
func (p *Pictures) isAlike(f film.Frames) bool {
	if p.black.hold(f) {
		return false
	}
	if p.change[f] <= alikeCodes {
		return true
	}
	return p.change[f] <= min(mostAlikeCodes, alikeShare*min(p.beside(f-1), p.beside(f+1)))
}

// beside returns the change at a frame, 0 where there is none of the same shot.
func (p *Pictures) beside(f film.Frames) float32 {
	if f < 0 || f >= p.frames || p.starts[f] {
		return 0
	}
	return p.change[f]
}

// standsOut reports whether the changes at [first, end) are small beside those
// before and after, as far as the shot goes.
func (p *Pictures) standsOut(first, end film.Frames) bool {
	var most, rest float32
	for f := first; f < end; f++ {
		most, rest = max(most, p.change[f]), max(rest, p.rest[f])
	}
	least := max(standOutCodes, most/standOut)
	seen := false
	for _, f := range []film.Frames{first - 1, end} {
		if f >= p.frames || p.starts[f] {
			continue // another shot
		}
		if p.change[f] < least || (p.rest[f] > stillCodes && rest > restShare*p.rest[f]) {
			return false
		}
		seen = true
	}
	return seen
}

// still reports whether nothing at all changes at [first, end) for long.
func (p *Pictures) still(first, end film.Frames) bool {
	run, longest := 0, 0
	for f := first; f < end; f++ {
		if run++; p.change[f] > stillCodes {
			run = 0
		}
		longest = max(longest, run)
	}
	return float64(longest)*p.rate.FrameSeconds() >= stillSeconds
}

// together joins repeats that follow each other within a second to one finding:
// a source of a lower rate repeats a frame again and again.
func (p *Pictures) together(repeats []Finding) []Finding {
	var out []Finding
	second := p.rate.FramesToHold(1)
	for _, r := range repeats {
		if k := len(out) - 1; k >= 0 && r.First-out[k].End <= second {
			o := &out[k]
			o.End, o.Number = r.End, o.Number+r.Number
			o.Words = fmt.Sprintf("%g repeated frames in %d, as a source of a lower rate gives", o.Number, o.End-o.First)
			continue
		}
		out = append(out, r)
	}
	return out
}
