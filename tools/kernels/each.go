package main

import (
	. "github.com/mmcloughlin/avo/build"
	"github.com/mmcloughlin/avo/operand"
	"github.com/mmcloughlin/avo/reg"
)

// each opens a loop over n values, a multiple of lanes and over 0, that moves
// the pointers along and returns from the function at its end.
func each(n reg.GPVirtual, pointers []reg.GPVirtual, body func()) {
	Label("each")
	body()
	for _, p := range pointers {
		ADDQ(operand.Imm(row), p)
	}
	SUBQ(operand.Imm(lanes), n)
	JNZ(operand.LabelRef("each"))
	VZEROUPPER()
	RET()
}

// spread returns a float32 argument in all lanes.
func spread(name string) reg.VecVirtual {
	one, all := XMM(), YMM()
	Load(Param(name), one)
	VBROADCASTSS(one, all)
	return all
}

func constant(name string, v float32) reg.VecVirtual {
	return broadcast(ConstData(name, operand.F32(v)))
}

func zeros() reg.VecVirtual {
	v := YMM()
	VXORPS(v, v, v)
	return v
}

func takeFloor() {
	begin("takeFloorVector", "dst, before, after *float32, part float32, n int", "takeFloorVector is takeFloorPlain for n a multiple of lanes.")
	dst, before, after, n := argument("dst"), argument("before"), argument("after"), argument("n")
	part := spread("part")
	rest := less(constant("one", 1), part)
	zero := zeros()
	each(n, []reg.GPVirtual{dst, before, after}, func() {
		floor := product(load(at(before)), rest)
		VFMADD231PS(at(after), part, floor)
		v := less(load(at(dst)), floor)
		VMAXPS(zero, v, v)
		VMOVUPS(v, at(dst))
	})
}

func rise() {
	begin("riseVector", "dst, now, before *float32, n int", "riseVector is risePlain for n a multiple of lanes.")
	dst, now, before, n := argument("dst"), argument("now"), argument("before"), argument("n")
	zero := zeros()
	each(n, []reg.GPVirtual{dst, now, before}, func() {
		v := less(load(at(now)), at(before))
		VMAXPS(zero, v, v)
		VMOVUPS(v, at(dst))
	})
}

func logOnePlus() {
	begin("logOnePlusVector", "x *float32, scale float32, n int", "logOnePlusVector is logOnePlusPlain for n a multiple of lanes.")
	x, n, scale := argument("x"), argument("n"), spread("scale")
	one, root2 := constant("unity", 1), constant("root2", 1.41421356)
	ln2, lnRoot2 := constant("ln2", 0.69314718), constant("lnRoot2", 0.34657359)
	third, fifth, seventh := constant("third", 1.0/3), constant("fifth", 0.2), constant("seventh", 1.0/7)
	fraction := broadcast(ConstData("fraction", operand.U32(0x7fffff)))
	bias := broadcast(ConstData("bias", operand.U32(127<<23)))
	each(n, []reg.GPVirtual{x}, func() {
		v := product(load(at(x)), scale)
		VADDPS(one, v, v)
		exponent := YMM()
		VPSUBD(bias, v, exponent)
		VPSRAD(operand.Imm(23), exponent, exponent)
		VCVTDQ2PS(exponent, exponent)
		VPAND(fraction, v, v)
		VPOR(one, v, v) // 1..2: the bits of one are its exponent
		z := less(v, root2)
		VADDPS(root2, v, v)
		VDIVPS(v, z, z)
		square := product(z, z)
		series := YMM()
		VMOVAPS(seventh, series)
		VFMADD213PS(fifth, square, series)
		VFMADD213PS(third, square, series)
		VFMADD213PS(one, square, series)
		VADDPS(z, z, z)
		VFMADD213PS(lnRoot2, z, series)
		VFMADD231PS(ln2, exponent, series)
		VMOVUPS(series, at(x))
	})
}

func fromInt16() {
	begin("fromInt16Vector", "dst *float32, raw *byte, scale float32, n int", "fromInt16Vector is fromInt16Plain for n a multiple of lanes.")
	dst, raw, n, scale := argument("dst"), argument("raw"), argument("n"), spread("scale")
	each(n, []reg.GPVirtual{dst}, func() {
		v := YMM()
		VPMOVSXWD(at(raw), v)
		VCVTDQ2PS(v, v)
		VMULPS(scale, v, v)
		VMOVUPS(v, at(dst))
		ADDQ(operand.Imm(2*lanes), raw)
	})
}
