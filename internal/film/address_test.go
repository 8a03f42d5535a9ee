package film

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// addressed has two sections of two lines each; a line has eight beats of half a
// second, from 1 s on.
func addressed() *Song {
	s := &Song{Duration: 20, Music: SongSpan{From: 1, To: 17}}
	for i := range 32 {
		s.Beats = append(s.Beats, Beat{At: 1 + SongTime(i)*0.5, InBar: i % 4})
	}
	s.Sections = []Section{{Name: "A1", Letter: "A", Span: SongSpan{From: 1, To: 9}}, {Name: "Pre-chorus", Letter: "B", Span: SongSpan{From: 9, To: 17}}}
	for i := range 4 {
		from := 1 + SongTime(i)*4
		s.Lines = append(s.Lines, Line{Section: i / 2, Number: i%2 + 1, Span: SongSpan{From: from, To: from + 4}})
	}
	return s
}

func TestSpanOf(t *testing.T) {
	s := addressed()
	for said, want := range map[string]SongSpan{
		"A1":                  {From: 1, To: 9},
		"pre-chorus":          {From: 9, To: 17},
		"A1.2":                {From: 5, To: 9},
		"a1.2/1":              {From: 5, To: 5.5},
		"A1.2/8":              {From: 8.5, To: 9},
		"A1.1/2-4":            {From: 1.5, To: 3},
		"A1.2-Pre-chorus.1":   {From: 5, To: 13},
		"A1.2/3-A1.2/3":       {From: 6, To: 6.5},
		"12.5":                {From: 12.5, To: 12.5},
		"3-4.25s":             {From: 3, To: 4.25},
		" Pre-chorus.2/2 ":    {From: 13.5, To: 14},
		"A1.1-Pre-chorus":     {From: 1, To: 17},
		"0":                   {},
		"A1.1/1-Pre-chorus.2": {From: 1, To: 17},
	} {
		got, err := s.SpanOf(said)
		if err != nil || math.Abs(float64(got.From-want.From)) > 1e-9 || math.Abs(float64(got.To-want.To)) > 1e-9 {
			t.Errorf("%q is %v (%v), want %v", said, got, err, want)
		}
	}
	for _, said := range []string{"", "C", "A1.3", "A1.1/9", "A1.1/0", "A1.1/x", "21", "-1", "NaN", "Pre-chorus-A1", "4-3", "A1.1/4-2", "/", "-"} {
		if got, err := s.SpanOf(said); CodeOf(err) != CodeUsage || HintOf(err) == "" {
			t.Errorf("%q gave %v, %v", said, got, err)
		}
	}
}

// Where an address is read from, it leads back to.
func TestAddressAndSpanOfAgree(t *testing.T) {
	s := addressed()
	rapid.Check(t, func(t *rapid.T) {
		at := SongTime(rapid.Float64Range(1, 16.9).Draw(t, "at"))
		span, err := s.SpanOf(s.Address(at))
		if err != nil {
			t.Fatal(err)
		}
		// An address looks 20 ms ahead for its beat.
		if at < span.From-sameBeat-1e-9 || at > span.To {
			t.Fatalf("%v is at %s, which is %v", at, s.Address(at), span)
		}
	})
}
