package main

import (
	. "github.com/mmcloughlin/avo/build"
	"github.com/mmcloughlin/avo/operand"
	"github.com/mmcloughlin/avo/reg"
)

func gather() {
	begin("gatherVector", "re, im, x, window *float32, at *int, n int", "gatherVector is gatherPlain for n a multiple of lanes.")
	re, im, x, window, starts, n := argument("re"), argument("im"), argument("x"), argument("window"), argument("at"), argument("n")
	end := GP64()
	LEAQ(indexed(window, n, 4), end)
	frame := GP64()
	Label("eight")
	g := load(at(window))
	var in [lanes]reg.VecVirtual
	for i := range in {
		MOVQ(at(starts).Offset(8*i), frame)
		in[i] = YMM()
		VMULPS(indexed(x, frame, 4), g, in[i])
	}
	out := transpose(in)
	for i := 0; i < lanes; i += 2 {
		VMOVUPS(out[i], at(re).Offset(i/2*row))
		VMOVUPS(out[i+1], at(im).Offset(i/2*row))
	}
	ADDQ(operand.Imm(row), x)
	ADDQ(operand.Imm(row), window)
	ADDQ(operand.U32(lanes/2*row), re)
	ADDQ(operand.U32(lanes/2*row), im)
	CMPQ(window, end)
	JLT(operand.LabelRef("eight"))
	VZEROUPPER()
	RET()
}

func weigh() {
	begin("weighVector", "dst, rows, w *float32, n int", "weighVector is weighPlain.")
	dst, rows, w, n := argument("dst"), argument("rows"), argument("w"), argument("n")
	total := YMM()
	VXORPS(total, total, total)
	TESTQ(n, n)
	JZ(operand.LabelRef("done"))
	Label("row")
	VFMADD231PS(at(rows), broadcast(at(w)), total)
	ADDQ(operand.Imm(row), rows)
	ADDQ(operand.Imm(4), w)
	DECQ(n)
	JNZ(operand.LabelRef("row"))
	Label("done")
	VMOVUPS(total, at(dst))
	VZEROUPPER()
	RET()
}

func filter() {
	const abreast = 4 // registers of results at a time, so that a tap is fetched once for all
	begin("filterVector", "dst, x, taps *float32, n, count int", "filterVector is filterPlain for n a multiple of filterStep and count over 0.")
	dst, x, taps, n, count := argument("dst"), argument("x"), argument("taps"), argument("n"), argument("count")
	tap := GP64()
	Label("block")
	var sums [abreast]reg.VecVirtual
	for i := range sums {
		sums[i] = load(at(dst).Offset(i * row))
	}
	XORQ(tap, tap)
	Label("tap")
	g := broadcast(indexed(taps, tap, 4))
	for i := range sums {
		VFMADD231PS(indexed(x, tap, 4).Offset(i*row), g, sums[i])
	}
	INCQ(tap)
	CMPQ(tap, count)
	JLT(operand.LabelRef("tap"))
	for i := range sums {
		VMOVUPS(sums[i], at(dst).Offset(i*row))
	}
	ADDQ(operand.U32(abreast*row), x)
	ADDQ(operand.U32(abreast*row), dst)
	SUBQ(operand.Imm(abreast*lanes), n)
	JNZ(operand.LabelRef("block"))
	VZEROUPPER()
	RET()
}
