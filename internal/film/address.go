package film

import (
	"fmt"
	"strconv"
	"strings"
)

// SpanOf returns the stretch of song that is said: a section "A2", a line
// "A2.3", a beat "A2.3/4", beats "A2.3/2-4", from one to another "A2.3-A2.5", or
// seconds "12.5-14". A single time, "12.5", is an empty span. It returns a
// *Error with CodeUsage when there is no such place.
func (s *Song) SpanOf(said string) (SongSpan, error) {
	span, err := s.placeOf(said)
	// A name may hold a hyphen, so each may be the one between two places.
	for i, c := range said {
		if err == nil || c != '-' {
			continue
		}
		from, to := said[:i], said[i+1:]
		if line, _, inLine := strings.Cut(from, "/"); inLine && isCount(to) { // "A2.3/2-4"
			to = line + "/" + to
		}
		a, aErr := s.placeOf(from)
		b, bErr := s.placeOf(to)
		if aErr != nil || bErr != nil {
			continue
		}
		if b.To <= a.From {
			return SongSpan{}, noPlace(said, "ends before it begins")
		}
		return SongSpan{From: a.From, To: b.To}, nil
	}
	return span, err
}

func isCount(s string) bool {
	_, err := strconv.Atoi(s)
	return err == nil
}

// placeOf returns the span of one place.
func (s *Song) placeOf(said string) (SongSpan, error) {
	said = strings.TrimSpace(said)
	if seconds, err := strconv.ParseFloat(strings.TrimSuffix(said, "s"), 64); err == nil {
		t := SongTime(seconds)
		if !(t >= 0 && t <= s.Duration) {
			return SongSpan{}, noPlace(said, fmt.Sprintf("lies outside the song, which lasts %.2f s", float64(s.Duration)))
		}
		return SongSpan{From: t, To: t}, nil
	}
	lineName, beatText, inLine := strings.Cut(said, "/")
	for _, c := range s.Sections {
		if !inLine && strings.EqualFold(c.Name, said) {
			return c.Span, nil
		}
	}
	for i, l := range s.Lines {
		if !strings.EqualFold(s.LineName(i), lineName) {
			continue
		}
		if !inLine {
			return l.Span, nil
		}
		n, err := strconv.Atoi(beatText)
		if err != nil {
			return SongSpan{}, noPlace(said, "has no number for its beat")
		}
		beats := s.beatsIn(l.Span)
		if n < 1 || n > len(beats) {
			return SongSpan{}, noPlace(said, fmt.Sprintf("is not a beat: line %s has %d", s.LineName(i), len(beats)))
		}
		end := l.Span.To
		if n < len(beats) {
			end = beats[n]
		}
		return SongSpan{From: beats[n-1], To: end}, nil
	}
	return SongSpan{}, noPlace(said, "is no section or line of this song")
}

// sameBeat, in seconds, keeps rounding out where a beat is looked for in a line:
// a cut lies up to two frames before its beat.
const sameBeat = 0.02

// beatsIn returns the times of the beats of a line.
func (s *Song) beatsIn(line SongSpan) []SongTime {
	var out []SongTime
	for _, b := range s.Beats {
		if b.At >= line.From-sameBeat && b.At < line.To-sameBeat {
			out = append(out, b.At)
		}
	}
	return out
}

func noPlace(said, why string) error {
	return &Error{Code: CodeUsage, Msg: fmt.Sprintf("%q %s", said, why), Hint: "say a section (A2), a line (A2.3), a beat (A2.3/4), beats (A2.3/2-4), from one place to another (A2.3-A2.5) or seconds (12.5-14)"}
}
