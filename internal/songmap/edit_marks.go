package songmap

import (
	"fmt"
	"math"
	"slices"

	"takeweave/internal/film"
)

func (e MustSee) apply(d *draft) (string, error) {
	m := film.MustSee{Shows: e.Shows, Before: e.Before, After: e.After, Matches: e.Matches}
	switch {
	case (e.Where == "") == (e.Span == nil):
		return "", badEdit("a must-see needs where or span, one of the two", "give an address such as A2.3/2-4, or a span with from and to")
	case e.Span != nil:
		m.Span = *e.Span
	default:
		span, err := d.SpanOf(e.Where)
		if err != nil {
			return "", err
		}
		m.Span = span
	}
	if !(m.Span.From >= 0 && m.Span.To > m.Span.From && m.Span.To <= d.Duration) {
		return "", badEdit(fmt.Sprintf("%.2f to %.2f s is no stretch of the song", float64(m.Span.From), float64(m.Span.To)), fmt.Sprintf("give a beginning and a later end within 0 and %.2f s", float64(d.Duration)))
	}
	if !mayBeSeen(m.Shows) {
		return "", badEdit(fmt.Sprintf("nobody can be asked to see %q", m.Shows), "give hands, lips or both")
	}
	const most = 1000
	if m.Before < 0 || m.After < 0 || m.Before > most || m.After > most {
		return "", badEdit(fmt.Sprintf("%d frames before and %d after are out of range", m.Before, m.After), fmt.Sprintf("give 0 to %d", most))
	}
	const mostMatches = 20
	if m.Matches < 0 || m.Matches > mostMatches {
		return "", badEdit(fmt.Sprintf("%d matches cannot be wanted", m.Matches), fmt.Sprintf("give 1 to %d, or 0 to leave it to the plan", mostMatches))
	}
	var err error
	if m.Text, err = oneLine(e.Text); err != nil {
		return "", err
	}
	if e.Index != nil {
		if err := place(*e.Index, len(d.MustSee), "must-see"); err != nil {
			return "", err
		}
		d.MustSee[*e.Index] = m
	} else {
		d.MustSee = append(d.MustSee, m)
	}
	return d.sayMustSee(m) + " must be seen", nil
}

// mayBeSeen reports whether a must-see may ask for it.
func mayBeSeen(s film.Shows) bool {
	return s == film.ShowsHands || s == film.ShowsLips || s == film.ShowsBoth
}

// sayMustSee names a must-see: "the hands at A2.3/2, “the run”".
func (d *draft) sayMustSee(m film.MustSee) string {
	what := map[film.Shows]string{film.ShowsHands: "the hands", film.ShowsLips: "the lips", film.ShowsBoth: "hands and lips"}[m.Shows]
	what += " at " + d.Address(m.Span.From)
	if m.Text != "" {
		what += fmt.Sprintf(", “%s”,", m.Text)
	}
	return what
}

func (e DropMustSee) apply(d *draft) (string, error) {
	if err := place(e.Index, len(d.MustSee), "must-see"); err != nil {
		return "", err
	}
	words := d.sayMustSee(d.MustSee[e.Index]) + " need not be seen"
	d.MustSee = slices.Delete(d.MustSee, e.Index, e.Index+1)
	return words, nil
}

// sameRest, in seconds, is how near two rests are one. Our own: a breath takes a
// few tenths of a second.
const sameRest = 0.1

func (e Rest) apply(d *draft) (string, error) {
	if !(e.At >= 0 && e.At <= d.Duration) {
		return "", badEdit(fmt.Sprintf("%.2f s lies outside the song", float64(e.At)), fmt.Sprintf("give 0 to %.2f s", float64(d.Duration)))
	}
	name := map[bool]string{false: "a rest", true: "a breath"}[e.Breath]
	for i, r := range d.Rests {
		if math.Abs(float64(r.At-e.At)) >= sameRest {
			continue
		}
		if r.Breath == e.Breath {
			return "", badEdit(fmt.Sprintf("%s is marked at %.2f s already", name, float64(r.At)), "drop it first to mark it elsewhere")
		}
		d.Rests[i].Breath = e.Breath
		return fmt.Sprintf("the rest at %s is %s", d.Address(r.At), name), nil
	}
	d.putRest(film.Rest{At: e.At, Breath: e.Breath})
	return fmt.Sprintf("%s marked at %s (%.2f s)", name, d.Address(e.At), float64(e.At)), nil
}

// putRest adds a rest in its place.
func (d *draft) putRest(r film.Rest) {
	i := 0
	for i < len(d.Rests) && d.Rests[i].At < r.At {
		i++
	}
	d.Rests = slices.Insert(d.Rests, i, r)
}

func (e DropRest) apply(d *draft) (string, error) {
	if err := place(e.Index, len(d.Rests), "rest"); err != nil {
		return "", err
	}
	words := "the rest at " + d.Address(d.Rests[e.Index].At) + " is gone"
	d.Rests = slices.Delete(d.Rests, e.Index, e.Index+1)
	return words, nil
}
