package main

import (
	"fmt"

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

func combine() {
	begin("combineVector", "dst, x, w *float32, n, count, step int", "combineVector is combinePlain for n a multiple of lanes.")
	dst, x, w, n, count, step := argument("dst"), argument("x"), argument("w"), argument("n"), argument("count"), argument("step")
	SHLQ(operand.Imm(2), step) // in bytes
	term, from := GP64(), GP64()
	// Eight registers of results at a time, so that a weight is fetched once for
	// all; the rest one by one.
	for _, abreast := range []int{8, 1} {
		block, next, rest := fmt.Sprint("block", abreast), fmt.Sprint("term", abreast), fmt.Sprint("rest", abreast)
		Label(block)
		CMPQ(n, operand.Imm(uint64(abreast*lanes)))
		JLT(operand.LabelRef(rest))
		sums := make([]reg.VecVirtual, abreast)
		for i := range sums {
			sums[i] = load(at(dst).Offset(i * row))
		}
		XORQ(term, term)
		MOVQ(x, from)
		Label(next)
		g := broadcast(indexed(w, term, 4))
		for i := range sums {
			VFMADD231PS(at(from).Offset(i*row), g, sums[i])
		}
		ADDQ(step, from)
		INCQ(term)
		CMPQ(term, count)
		JLT(operand.LabelRef(next))
		for i := range sums {
			VMOVUPS(sums[i], at(dst).Offset(i*row))
		}
		ADDQ(operand.U32(abreast*row), x)
		ADDQ(operand.U32(abreast*row), dst)
		SUBQ(operand.U32(abreast*lanes), n)
		JMP(operand.LabelRef(block))
		Label(rest)
	}
	VZEROUPPER()
	RET()
}

func dot() {
	TEXT("dotVector", NOSPLIT, "func(a, b *float32, n int) float32")
	Pragma("noescape")
	Doc("dotVector is dotPlain.")
	a, b, n := argument("a"), argument("b"), argument("n")
	sums := [2]reg.VecVirtual{YMM(), YMM()}
	for _, v := range sums {
		VXORPS(v, v, v)
	}
	Label("sixteen")
	CMPQ(n, operand.Imm(2*lanes))
	JLT(operand.LabelRef("eight"))
	for i, v := range sums {
		VFMADD231PS(at(b).Offset(i*row), load(at(a).Offset(i*row)), v)
	}
	ADDQ(operand.Imm(2*row), a)
	ADDQ(operand.Imm(2*row), b)
	SUBQ(operand.Imm(2*lanes), n)
	JMP(operand.LabelRef("sixteen"))
	Label("eight")
	CMPQ(n, operand.Imm(lanes))
	JLT(operand.LabelRef("rest"))
	VFMADD231PS(at(b), load(at(a)), sums[0])
	ADDQ(operand.Imm(row), a)
	ADDQ(operand.Imm(row), b)
	SUBQ(operand.Imm(lanes), n)
	Label("rest")
	TESTQ(n, n)
	JZ(operand.LabelRef("done"))
	// The mask of the first n values lies n before the end of lanes ones.
	mask := GLOBL("mask", RODATA|NOPTR)
	for i := range 2 * lanes {
		on := operand.U32(0)
		if i < lanes {
			on = 0xffffffff
		}
		DATA(4*i, on)
	}
	from, m := GP64(), YMM()
	LEAQ(mask.Offset(row), from)
	SHLQ(operand.Imm(2), n)
	SUBQ(n, from)
	VMOVUPS(at(from), m)
	restA, restB := YMM(), YMM()
	VMASKMOVPS(at(a), m, restA)
	VMASKMOVPS(at(b), m, restB)
	VFMADD231PS(restA, restB, sums[1])
	Label("done")
	VADDPS(sums[0], sums[1], sums[0])
	half := XMM()
	VEXTRACTF128(operand.Imm(1), sums[0], half)
	low := sums[0].AsX()
	VADDPS(half, low, low)
	VMOVHLPS(low, low, half)
	VADDPS(half, low, low)
	VMOVSHDUP(low, half)
	VADDSS(half, low, low)
	VZEROUPPER()
	Store(low, ReturnIndex(0))
	RET()
}
