package flash

import "testing"

func BenchmarkAdd(b *testing.B) {
	w, _ := NewWatcher(at25, testW, testH)
	pictures := [2][]byte{make([]byte, 3*testW*testH), make([]byte, 3*testW*testH)}
	for i := range pictures[1] {
		pictures[1][i] = byte(i * 7)
	}
	i := 0
	for b.Loop() {
		w.Add(pictures[i%2])
		i++
	}
}
