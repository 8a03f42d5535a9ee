package main

import (
	. "github.com/mmcloughlin/avo/build"
	"github.com/mmcloughlin/avo/operand"
	"github.com/mmcloughlin/avo/reg"
)

// lanes is the number of single-precision values in a register; row is its
// size in bytes.
const lanes, row = 8, 32

// begin opens a function of which all arguments are pointers or ints.
func begin(name, arguments, doc string) {
	TEXT(name, NOSPLIT, "func("+arguments+")")
	Pragma("noescape")
	Doc(doc)
}

func argument(name string) reg.GPVirtual {
	return Load(Param(name), GP64()).(reg.GPVirtual)
}

func at(base reg.Register) operand.Mem { return operand.Mem{Base: base} }

func indexed(base, index reg.Register, scale uint8) operand.Mem {
	return operand.Mem{Base: base, Index: index, Scale: scale}
}

func load(m operand.Mem) reg.VecVirtual {
	v := YMM()
	VMOVUPS(m, v)
	return v
}

func broadcast(m operand.Mem) reg.VecVirtual {
	v := YMM()
	VBROADCASTSS(m, v)
	return v
}

// sum returns a+b and less a-b; b may lie in memory.
func sum(a reg.VecVirtual, b operand.Op) reg.VecVirtual {
	v := YMM()
	VADDPS(b, a, v)
	return v
}

func less(a reg.VecVirtual, b operand.Op) reg.VecVirtual {
	v := YMM()
	VSUBPS(b, a, v)
	return v
}

// times is the complex product (er + i*ei)*(wr + i*wi).
func times(er, ei, wr, wi reg.VecVirtual) (re, im reg.VecVirtual) {
	re, im = YMM(), YMM()
	VMULPS(wi, ei, re)
	VFMSUB231PS(wr, er, re)
	VMULPS(wr, ei, im)
	VFMADD231PS(wi, er, im)
	return re, im
}

// product returns a*b.
func product(a, b reg.VecVirtual) reg.VecVirtual {
	v := YMM()
	VMULPS(b, a, v)
	return v
}

// transpose turns eight rows of eight around.
func transpose(in [lanes]reg.VecVirtual) [lanes]reg.VecVirtual {
	var pairs, fours, out [lanes]reg.VecVirtual
	for i := range lanes {
		pairs[i], fours[i], out[i] = YMM(), YMM(), YMM()
	}
	for i := 0; i < lanes; i += 2 {
		VUNPCKLPS(in[i+1], in[i], pairs[i])
		VUNPCKHPS(in[i+1], in[i], pairs[i+1])
	}
	for i := 0; i < lanes; i += 4 {
		for j := range 2 {
			VSHUFPS(operand.Imm(0x44), pairs[i+2+j], pairs[i+j], fours[i+2*j])
			VSHUFPS(operand.Imm(0xee), pairs[i+2+j], pairs[i+j], fours[i+2*j+1])
		}
	}
	for i := range 4 {
		VPERM2F128(operand.Imm(0x20), fours[i+4], fours[i], out[i])
		VPERM2F128(operand.Imm(0x31), fours[i+4], fours[i], out[i+4])
	}
	return out
}
