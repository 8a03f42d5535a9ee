package main

import (
	. "github.com/mmcloughlin/avo/build"
	"github.com/mmcloughlin/avo/operand"
	"github.com/mmcloughlin/avo/reg"
)

// abovePeers finds each median by forgetting: of eight of the thirteen values
// the greatest and the smallest cannot be it, nor those of the six left with one
// more, and so on to three.
func abovePeers() {
	const peers = 13
	begin("abovePeersVector", "dst, x *float32, n int", "abovePeersVector is abovePeersPlain for n a multiple of lanes.")
	dst, x, n := argument("dst"), argument("x"), argument("n")
	Label("eight")
	var kept []reg.VecVirtual
	next := 0
	take := func() {
		kept = append(kept, load(at(x).Offset(4*next)))
		next++
	}
	for range peers/2 + 2 {
		take()
	}
	for len(kept) > 3 {
		forgetEnds(kept)
		kept = kept[1 : len(kept)-1]
		take()
	}
	forgetEnds(kept)
	above := less(load(at(x).Offset(4*(peers/2))), kept[1])
	zero := YMM()
	VXORPS(zero, zero, zero)
	VMAXPS(zero, above, above)
	VMOVUPS(above, at(dst))
	ADDQ(operand.Imm(row), x)
	ADDQ(operand.Imm(row), dst)
	SUBQ(operand.Imm(lanes), n)
	JNZ(operand.LabelRef("eight"))
	VZEROUPPER()
	RET()
}

// forgetEnds moves the smallest of v to its front and the greatest to its end.
func forgetEnds(v []reg.VecVirtual) {
	order := func(i, j int) {
		low := YMM()
		VMINPS(v[i], v[j], low)
		VMAXPS(v[i], v[j], v[j])
		v[i] = low
	}
	last := len(v) - 1
	for i := range len(v) / 2 {
		order(i, last-i)
	}
	for i := 1; i <= last/2; i++ {
		order(0, i)
	}
	for i := (last + 1) / 2; i < last; i++ {
		order(i, last)
	}
}
