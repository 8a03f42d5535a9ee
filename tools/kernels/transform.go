package main

import (
	. "github.com/mmcloughlin/avo/build"
	"github.com/mmcloughlin/avo/operand"
	"github.com/mmcloughlin/avo/reg"
)

func radix4() {
	begin("radix4Vector", "xr, xi, yr, yi, w *float32, m, s int", "radix4Vector is radix4Plain for s a multiple of lanes.")
	xr, xi, yr, yi, w := argument("xr"), argument("xi"), argument("yr"), argument("yi"), argument("w")
	m, s := argument("m"), argument("s")
	SHLQ(operand.Imm(2), s) // in bytes
	quarter, quarter3, s3 := GP64(), GP64(), GP64()
	MOVQ(s, quarter)
	IMULQ(m, quarter)
	LEAQ(indexed(quarter, quarter, 2), quarter3)
	LEAQ(indexed(s, s, 2), s3)
	q := GP64()

	Label("group")
	w1r, w1i := broadcast(at(w)), broadcast(at(w).Offset(4))
	w2r, w2i := broadcast(at(w).Offset(8)), broadcast(at(w).Offset(12))
	w3r, w3i := broadcast(at(w).Offset(16)), broadcast(at(w).Offset(20))
	MOVQ(s, q)

	Label("butterfly")
	ar := load(at(xr))
	sr, tr := sum(ar, indexed(xr, quarter, 2)), less(ar, indexed(xr, quarter, 2))
	ai := load(at(xi))
	si, ti := sum(ai, indexed(xi, quarter, 2)), less(ai, indexed(xi, quarter, 2))
	br := load(indexed(xr, quarter, 1))
	ur, vr := sum(br, indexed(xr, quarter3, 1)), less(br, indexed(xr, quarter3, 1))
	bi := load(indexed(xi, quarter, 1))
	ui, vi := sum(bi, indexed(xi, quarter3, 1)), less(bi, indexed(xi, quarter3, 1))
	VMOVUPS(sum(sr, ur), at(yr))
	VMOVUPS(sum(si, ui), at(yi))
	re, im := times(less(sr, ur), less(si, ui), w2r, w2i)
	VMOVUPS(re, indexed(yr, s, 2))
	VMOVUPS(im, indexed(yi, s, 2))
	re, im = times(sum(tr, vi), less(ti, vr), w1r, w1i)
	VMOVUPS(re, indexed(yr, s, 1))
	VMOVUPS(im, indexed(yi, s, 1))
	re, im = times(less(tr, vi), sum(ti, vr), w3r, w3i)
	VMOVUPS(re, indexed(yr, s3, 1))
	VMOVUPS(im, indexed(yi, s3, 1))
	for _, p := range []operand.Op{xr, xi, yr, yi} {
		ADDQ(operand.Imm(row), p)
	}
	SUBQ(operand.Imm(row), q)
	JNZ(operand.LabelRef("butterfly"))

	ADDQ(s3, yr)
	ADDQ(s3, yi)
	ADDQ(operand.Imm(6*4), w)
	DECQ(m)
	JNZ(operand.LabelRef("group"))
	VZEROUPPER()
	RET()
}

func radix2() {
	begin("radix2Vector", "xr, xi, yr, yi *float32, s int", "radix2Vector is radix2Plain for s a multiple of lanes.")
	xr, xi, yr, yi, s := argument("xr"), argument("xi"), argument("yr"), argument("yi"), argument("s")
	SHLQ(operand.Imm(2), s)
	q := GP64()
	MOVQ(s, q)
	Label("next")
	a, b := load(at(xr)), load(at(xi))
	VMOVUPS(sum(a, indexed(xr, s, 1)), at(yr))
	VMOVUPS(sum(b, indexed(xi, s, 1)), at(yi))
	VMOVUPS(less(a, indexed(xr, s, 1)), indexed(yr, s, 1))
	VMOVUPS(less(b, indexed(xi, s, 1)), indexed(yi, s, 1))
	for _, p := range []operand.Op{xr, xi, yr, yi} {
		ADDQ(operand.Imm(row), p)
	}
	SUBQ(operand.Imm(row), q)
	JNZ(operand.LabelRef("next"))
	VZEROUPPER()
	RET()
}

func power() {
	begin("powerVector", "dst, zr, zi, c, s *float32, h int", "powerVector is powerPlain.")
	dst, zr, zi, c, s, h := argument("dst"), argument("zr"), argument("zi"), argument("c"), argument("s"), argument("h")
	half := ConstData("half", operand.F32(0.5))
	halves := broadcast(half)
	// The bins k from 1 up lie at zr, zi, dst; those of h-k from h-1 down at far.
	far, k := GP64(), GP64()
	MOVQ(h, far)
	SHLQ(operand.Imm(5), far)
	SUBQ(operand.Imm(2*row), far) // from row 1 to row h-1
	for _, p := range []operand.Op{zr, zi, dst} {
		ADDQ(operand.Imm(row), p)
	}
	ADDQ(operand.Imm(4), c)
	ADDQ(operand.Imm(4), s)
	MOVQ(h, k)
	SHRQ(operand.Imm(1), k)
	Label("bin")
	kr, ki := load(at(zr)), load(at(zi))
	er, ei := sum(kr, indexed(zr, far, 1)), less(ki, indexed(zi, far, 1))
	or, oi := sum(ki, indexed(zi, far, 1)), less(load(indexed(zr, far, 1)), kr)
	tr, ti := times(product(or, halves), product(oi, halves), broadcast(at(c)), broadcast(at(s)))
	er, ei = product(er, halves), product(ei, halves)
	near, mirrored := sum(er, tr), sum(ei, ti)
	re, im := less(er, tr), less(ti, ei)
	VMULPS(near, near, near)
	VFMADD231PS(mirrored, mirrored, near)
	VMULPS(re, re, re)
	VFMADD231PS(im, im, re)
	VMOVUPS(near, at(dst))
	VMOVUPS(re, indexed(dst, far, 1))
	for _, p := range []operand.Op{zr, zi, dst} {
		ADDQ(operand.Imm(row), p)
	}
	SUBQ(operand.Imm(2*row), far)
	ADDQ(operand.Imm(4), c)
	ADDQ(operand.Imm(4), s)
	DECQ(k)
	JNZ(operand.LabelRef("bin"))
	VZEROUPPER()
	RET()
}

// turn multiplies each value by its own factor and swaps rows and columns.
func turn() {
	begin("turnVector", "xr, xi, yr, yi, wr, wi *float32, rows int", "turnVector is turnPlain for rows a multiple of lanes.")
	xr, xi, yr, yi := argument("xr"), argument("xi"), argument("yr"), argument("yi")
	wr, wi, left := argument("wr"), argument("wi"), argument("rows")
	one, three, five, seven := GP64(), GP64(), GP64(), GP64() // columns further, in bytes
	MOVQ(left, one)
	SHLQ(operand.Imm(2), one)
	LEAQ(indexed(one, one, 2), three)
	LEAQ(indexed(one, one, 4), five)
	LEAQ(indexed(three, one, 4), seven)
	put := func(y reg.Register, in [lanes]reg.VecVirtual) {
		to := [lanes]operand.Mem{
			at(y), indexed(y, one, 1), indexed(y, one, 2), indexed(y, three, 1),
			indexed(y, one, 4), indexed(y, five, 1), indexed(y, three, 2), indexed(y, seven, 1),
		}
		for i, v := range transpose(in) {
			VMOVUPS(v, to[i])
		}
	}
	Label("square")
	var in [lanes]reg.VecVirtual
	for i := range in {
		o := i * row
		var im reg.VecVirtual
		in[i], im = times(load(at(xr).Offset(o)), load(at(xi).Offset(o)), load(at(wr).Offset(o)), load(at(wi).Offset(o)))
		VMOVUPS(im, at(xi).Offset(o))
	}
	put(yr, in)
	for i := range in {
		in[i] = load(at(xi).Offset(i * row))
	}
	put(yi, in)
	for _, p := range []operand.Op{xr, xi, wr, wi} {
		ADDQ(operand.U32(lanes*row), p)
	}
	ADDQ(operand.Imm(row), yr)
	ADDQ(operand.Imm(row), yi)
	SUBQ(operand.Imm(lanes), left)
	JNZ(operand.LabelRef("square"))
	VZEROUPPER()
	RET()
}
