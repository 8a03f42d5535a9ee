package main

import (
	. "github.com/mmcloughlin/avo/build"
	"github.com/mmcloughlin/avo/operand"
	"github.com/mmcloughlin/avo/reg"
)

// The spectrum of real samples has two halves that mirror each other: the loops
// here take lanes bins from the one end, and turned around from the other.

// eachPair opens a loop over the bins 1 to h/2 at near, with far bytes from
// there to the mirrored ones. c and s go along with near.
func eachPair(h reg.GPVirtual, near []reg.GPVirtual, c, s reg.GPVirtual, body func(c, s reg.VecVirtual, far reg.GPVirtual)) {
	far := GP64()
	MOVQ(h, far)
	SHLQ(operand.Imm(2), far)
	SUBQ(operand.Imm(4*(1+lanes)), far) // from bin 1 to bin h-lanes
	all := append([]reg.GPVirtual{c, s}, near...)
	for _, p := range all {
		ADDQ(operand.Imm(4), p)
	}
	left := GP64()
	MOVQ(h, left)
	SHRQ(operand.Imm(1), left)
	Label("pair")
	body(load(at(c)), load(at(s)), far)
	for _, p := range all {
		ADDQ(operand.Imm(row), p)
	}
	SUBQ(operand.Imm(2*row), far)
	SUBQ(operand.Imm(lanes), left)
	JGT(operand.LabelRef("pair"))
	VZEROUPPER()
	RET()
}

// mirror returns a function that turns the lanes around; name is that of its
// table.
func mirror(name string) func(reg.VecVirtual) reg.VecVirtual {
	places := GLOBL(name, RODATA|NOPTR)
	for i := range lanes {
		DATA(4*i, operand.U32(lanes-1-i))
	}
	order := load(places)
	return func(v reg.VecVirtual) reg.VecVirtual {
		out := YMM()
		VPERMPS(v, order, out)
		return out
	}
}

func split() {
	begin("splitVector", "re, im, zr, zi, c, s *float32, h int", "splitVector is splitPlain for h from 2*lanes on.")
	re, im, zr, zi := argument("re"), argument("im"), argument("zr"), argument("zi")
	turned, half := mirror("backwardsInSplit"), constant("halfOfSplit", 0.5)
	eachPair(argument("h"), []reg.GPVirtual{re, im, zr, zi}, argument("c"), argument("s"), func(c, s reg.VecVirtual, far reg.GPVirtual) {
		kr, ki := product(load(at(zr)), half), product(load(at(zi)), half)
		jr, ji := product(turned(load(indexed(zr, far, 1))), half), product(turned(load(indexed(zi, far, 1))), half)
		tr, ti := times(sum(ki, ji), less(jr, kr), c, s)
		er, ei := sum(kr, jr), less(ki, ji)
		VMOVUPS(sum(er, tr), at(re))
		VMOVUPS(sum(ei, ti), at(im))
		VMOVUPS(turned(less(er, tr)), indexed(re, far, 1))
		VMOVUPS(turned(less(ti, ei)), indexed(im, far, 1))
	})
}

func join() {
	begin("joinVector", "zr, zi, re, im, c, s *float32, h int", "joinVector is joinPlain for h from 2*lanes on.")
	zr, zi, re, im := argument("zr"), argument("zi"), argument("re"), argument("im")
	turned, half, zero := mirror("backwardsInJoin"), constant("halfOfJoin", 0.5), zeros()
	eachPair(argument("h"), []reg.GPVirtual{zr, zi, re, im}, argument("c"), argument("s"), func(c, s reg.VecVirtual, far reg.GPVirtual) {
		kr, ki := product(load(at(re)), half), product(load(at(im)), half)
		jr, ji := product(turned(load(indexed(re, far, 1))), half), product(turned(load(indexed(im, far, 1))), half)
		or, oi := times(less(kr, jr), sum(ki, ji), c, less(zero, s))
		er, ei := sum(kr, jr), less(ki, ji)
		VMOVUPS(less(er, oi), at(zr))
		VMOVUPS(less(less(zero, ei), or), at(zi))
		VMOVUPS(turned(sum(er, oi)), indexed(zr, far, 1))
		VMOVUPS(turned(less(ei, or)), indexed(zi, far, 1))
	})
}

func unzip() {
	begin("unzipVector", "even, odd, x *float32, n int", "unzipVector is unzipPlain for n a multiple of lanes.")
	even, odd, x, n := argument("even"), argument("odd"), argument("x"), argument("n")
	each(n, []reg.GPVirtual{even, odd, x}, func() {
		low, high := load(at(x)), load(at(x).Offset(row))
		ADDQ(operand.Imm(row), x)
		for i, to := range []reg.GPVirtual{even, odd} {
			v := YMM()
			VSHUFPS(operand.Imm([]uint64{0x88, 0xdd}[i]), high, low, v)
			VPERMPD(operand.Imm(0xd8), v, v)
			VMOVUPS(v, at(to))
		}
	})
}

func zip() {
	begin("zipVector", "x, even, odd *float32, evenScale, oddScale float32, n int", "zipVector is zipPlain for n a multiple of lanes.")
	x, even, odd, n := argument("x"), argument("even"), argument("odd"), argument("n")
	evenScale, oddScale := spread("evenScale"), spread("oddScale")
	each(n, []reg.GPVirtual{x, even, odd}, func() {
		e, o := product(load(at(even)), evenScale), product(load(at(odd)), oddScale)
		low, high, first, second := YMM(), YMM(), YMM(), YMM()
		VUNPCKLPS(o, e, low)
		VUNPCKHPS(o, e, high)
		VPERM2F128(operand.Imm(0x20), high, low, first)
		VPERM2F128(operand.Imm(0x31), high, low, second)
		VMOVUPS(first, at(x))
		VMOVUPS(second, at(x).Offset(row))
		ADDQ(operand.Imm(row), x)
	})
}
