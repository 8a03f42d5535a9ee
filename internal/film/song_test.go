package film

import "testing"

func TestAddress(t *testing.T) {
	s := Song{
		Sections: []Section{{Name: "A1", Span: SongSpan{2, 10}}, {Name: "B1", Span: SongSpan{10, 18}}},
		Lines:    []Line{{Number: 1, Span: SongSpan{2, 6}}, {Number: 2, Span: SongSpan{6, 10}}, {Section: 1, Number: 1, Span: SongSpan{10, 18}}},
	}
	for i := range 16 {
		s.Beats = append(s.Beats, Beat{At: SongTime(2 + i), InBar: i % 4})
	}
	for at, want := range map[SongTime]string{0: "intro", 2: "A1.1/1", 2.9: "A1.1/1", 3: "A1.1/2", 5.99: "A1.1/4", 6: "A1.2/1", 13.5: "B1.1/4", 17.9: "B1.1/8", 18: "end", 30: "end"} {
		if got := s.Address(at); got != want {
			t.Errorf("Address(%v) = %s, want %s", at, got, want)
		}
	}
}
