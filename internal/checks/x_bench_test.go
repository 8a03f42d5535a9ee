package checks

import "testing"

func BenchmarkPicture(b *testing.B) {
	player := newPlayer(1)
	var pictures []Picture
	for f := range 20 {
		pictures = append(pictures, player.draw(f))
	}
	p, _ := NewPictures(at25, testW, testH, nil, Usual)
	i := 0
	for b.Loop() {
		p.Add(pictures[i%len(pictures)])
		i++
	}
}
