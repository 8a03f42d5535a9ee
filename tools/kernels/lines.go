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

// inBlocks opens a loop over n results, a multiple of lanes: eight registers of
// them at a time, so that what is the same for all is fetched once, and the rest
// one by one. add adds all terms to the sums, given a name for its label; the
// pointers move along.
func inBlocks(dst reg.GPVirtual, n reg.GPVirtual, from []reg.GPVirtual, add func(name string, sums []reg.VecVirtual)) {
	for _, abreast := range []int{8, 1} {
		block, rest := fmt.Sprint("block", abreast), fmt.Sprint("rest", abreast)
		Label(block)
		CMPQ(n, operand.Imm(uint64(abreast*lanes)))
		JLT(operand.LabelRef(rest))
		sums := make([]reg.VecVirtual, abreast)
		for i := range sums {
			sums[i] = load(at(dst).Offset(i * row))
		}
		add(fmt.Sprint("term", abreast), sums)
		for i := range sums {
			VMOVUPS(sums[i], at(dst).Offset(i*row))
		}
		for _, p := range append(from, dst) {
			ADDQ(operand.U32(abreast*row), p)
		}
		SUBQ(operand.U32(abreast*lanes), n)
		JMP(operand.LabelRef(block))
		Label(rest)
	}
	VZEROUPPER()
	RET()
}

func combine() {
	begin("combineVector", "dst, x, w *float32, n, count, step int", "combineVector is combinePlain for n a multiple of lanes.")
	dst, x, w, n, count, step := argument("dst"), argument("x"), argument("w"), argument("n"), argument("count"), argument("step")
	SHLQ(operand.Imm(2), step) // in bytes
	term, from := GP64(), GP64()
	inBlocks(dst, n, []reg.GPVirtual{x}, func(name string, sums []reg.VecVirtual) {
		XORQ(term, term)
		MOVQ(x, from)
		Label(name)
		g := broadcast(indexed(w, term, 4))
		for i := range sums {
			VFMADD231PS(at(from).Offset(i*row), g, sums[i])
		}
		ADDQ(step, from)
		INCQ(term)
		CMPQ(term, count)
		JLT(operand.LabelRef(name))
	})
}

func pairUp() {
	begin("pairUpVector", "dst, a, b *float32, n, count, stepA, stepB int", "pairUpVector is pairUpPlain for n a multiple of lanes.")
	dst, a, b, n, count := argument("dst"), argument("a"), argument("b"), argument("n"), argument("count")
	stepA, stepB := argument("stepA"), argument("stepB")
	SHLQ(operand.Imm(2), stepA) // in bytes
	SHLQ(operand.Imm(2), stepB)
	term, fromA, fromB := GP64(), GP64(), GP64()
	inBlocks(dst, n, []reg.GPVirtual{a, b}, func(name string, sums []reg.VecVirtual) {
		MOVQ(count, term)
		MOVQ(a, fromA)
		MOVQ(b, fromB)
		Label(name)
		for i := range sums {
			VFMADD231PS(at(fromB).Offset(i*row), load(at(fromA).Offset(i*row)), sums[i])
		}
		ADDQ(stepA, fromA)
		ADDQ(stepB, fromB)
		DECQ(term)
		JNZ(operand.LabelRef(name))
	})
}

func addUp() {
	begin("addUpVector", "dst, x *float32, at *int, n, count int", "addUpVector is addUpPlain for n a multiple of lanes.")
	dst, x, places, n, count := argument("dst"), argument("x"), argument("at"), argument("n"), argument("count")
	term, from := GP64(), GP64()
	inBlocks(dst, n, []reg.GPVirtual{x}, func(name string, sums []reg.VecVirtual) {
		XORQ(term, term)
		Label(name)
		MOVQ(indexed(places, term, 8), from)
		LEAQ(indexed(x, from, 4), from)
		for i := range sums {
			VADDPS(at(from).Offset(i*row), sums[i], sums[i])
		}
		INCQ(term)
		CMPQ(term, count)
		JLT(operand.LabelRef(name))
	})
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
