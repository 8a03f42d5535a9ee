package agree

import (
	"context"
	"testing"

	"takeweave/internal/film"
	"takeweave/internal/lineup"
)

// What judging costs along the loudspeaker, and what all the rest does: listening
// to the pass and judging it as if nothing were played beside it.
func BenchmarkAlongTheLoudspeaker(b *testing.B) {
	ctx := context.Background()
	f := alongside(3, asWritten, 0, 0)
	record, pass := listen(b, f.record), listen(b, f.pass)
	b.Run("taking it off", func(b *testing.B) {
		for b.Loop() {
			if _, err := hearUnder(ctx, record, pass, &f.lu.Segments[0]); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("the rest", func(b *testing.B) {
		lu := f.lu
		lu.Playback = false
		for b.Loop() {
			heard, err := lineup.Listen(ctx, pass.Sound(), nil)
			if err != nil {
				b.Fatal(err)
			}
			if _, err := Judge(ctx, record, heard, lu, film.Setup{}, nil); err != nil {
				b.Fatal(err)
			}
		}
	})
}
