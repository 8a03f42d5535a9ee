package picture

import (
	"math"
	"slices"
	"testing"

	"takeweave/internal/film"
)

func look(at float64, faces ...Face) Look { return Look{film.PassTime(at), faces} }

func face(x, y, size, confidence float64) Face { return Face{Box{x, y, size, size}, confidence} }

// TestSubjectFollows: a singer sways; now and then the face is missed, and once
// something else is taken for one.
func TestSubjectFollows(t *testing.T) {
	var looks []Look
	missed := []int{4, 9, 10}
	place := func(at float64) float64 { return 0.4 + 0.05*math.Sin(2*math.Pi*at/8) }
	for i := range 24 {
		at := float64(i) / 2
		l := look(at)
		if !slices.Contains(missed, i) {
			l.Faces = append(l.Faces, face(place(at), 0.2, 0.2, 0.8))
		}
		if i == 6 {
			l.Faces = append(l.Faces, face(0.85, 0.7, 0.1, 0.9))
		}
		looks = append(looks, l)
	}
	got := Subject(looks)
	if len(got) != len(looks)-len(missed) {
		t.Fatalf("seen %d times, want %d", len(got), len(looks)-len(missed))
	}
	for _, s := range got {
		want := Box{place(float64(s.At)), 0.2, 0.2, 0.2}
		if s.Face.shared(want) < 0.8 || s.Confidence < 0.5 || s.Confidence > 0.8 {
			t.Errorf("%v s: %+v, want about %+v", s.At, s, want)
		}
		if near := s.At > 4 && s.At < 6; near && s.Confidence > 0.75 {
			t.Errorf("%v s: a confidence of %v beside looks that missed the face", s.At, s.Confidence)
		}
	}
}

// TestSubjectSmooths: boxes that jump about a still face by a tenth of its size
// stand far calmer.
func TestSubjectSmooths(t *testing.T) {
	random := chance(16)
	var looks []Look
	for i := range 60 {
		looks = append(looks, look(float64(i)/2, face(0.4+0.02*(random()-0.5), 0.2, 0.2, 0.8)))
	}
	raw, calm := 0.0, 0.0
	for i, s := range Subject(looks) {
		raw += square(looks[i].Faces[0].Box.X - 0.4)
		calm += square(s.Face.X - 0.4)
	}
	// Weights of 1, 7/12 and 1/6 leave (1 + 2·(49/144 + 1/36))/(5/2)² = 0.28 of the square.
	if calm > 0.4*raw {
		t.Errorf("%v of the jumps is left", calm/raw)
	}
}

func TestSubjectIsTheMainFace(t *testing.T) {
	var looks []Look
	for i := range 20 {
		l := look(float64(i), face(0.1, 0.3, 0.1, 0.9)) // a listener, always there
		if i < 8 || i > 13 {
			l.Faces = append(l.Faces, face(0.5, 0.2, 0.3, 0.7)) // the singer
		}
		looks = append(looks, l)
	}
	for _, s := range Subject(looks) {
		// The listener is there all the time but small: 20·0.1²·0.9 against 8·0.3²·0.7.
		if s.Face.X < 0.4 {
			t.Errorf("%v s: the listener is taken for the singer", s.At)
		}
	}
}

func TestSubjectNeedsVotes(t *testing.T) {
	got := Subject([]Look{look(0), look(1), look(2, face(0.3, 0.3, 0.2, 0.9)), look(3), look(4)})
	if len(got) != 0 {
		t.Errorf("one look is enough for %+v", got)
	}
	if got := Subject(nil); len(got) != 0 {
		t.Errorf("%+v from nothing", got)
	}
	if got := Subject([]Look{look(0, face(0.3, 0.3, 0.1, 0.9)), look(0.5, face(0.2, 0.2, 0.3, 0.9))}); len(got) != 0 {
		t.Errorf("a face that grows to three times: %+v", got)
	}
	// Two that are far apart are not the same face.
	got = Subject([]Look{look(0, face(0.1, 0.3, 0.1, 0.9)), look(0.5, face(0.8, 0.3, 0.1, 0.9))})
	if len(got) != 0 {
		t.Errorf("a face that leaps: %+v", got)
	}
}

// TestHeadAndShoulders: the box holds the head above the brow and both
// shoulders, and stays in the picture.
func TestHeadAndShoulders(t *testing.T) {
	got := headAndShoulders(Box{0.4, 0.3, 0.1, 0.2})
	want := Box{0.3, 0.18, 0.3, 0.56}
	if math.Abs(got.X-want.X)+math.Abs(got.Y-want.Y)+math.Abs(got.W-want.W)+math.Abs(got.H-want.H) > 1e-12 {
		t.Errorf("%+v, want %+v", got, want)
	}
	got = headAndShoulders(Box{0, 0, 0.4, 0.6})
	if got.X != 0 || got.Y != 0 || got.X+got.W > 1 || got.Y+got.H > 1 {
		t.Errorf("%+v leaves the picture", got)
	}
}
