package cut

import (
	"context"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// The receipt of a cut says exactly what the search says it costs.
func TestReceiptsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 4))
		r := randomRequest(rng, 4+rng.IntN(20), 1+rng.IntN(5))
		b, err := Prepare(r)
		if err != nil {
			t.Skip()
		}
		s, err := b.solve(context.Background(), randomPins(rng, r))
		if err != nil {
			t.Skip()
		}
		if all := s.receipt(); all.sum() != s.wishes {
			t.Fatalf("the receipt says %d, the search %d: %v", all.sum(), s.wishes, all)
		}
	})
}
