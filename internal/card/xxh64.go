package card

import (
	"encoding/binary"
	"math/bits"
)

// xxh64 is the 64-bit xxHash with seed 0, which the hash lists of others often
// use. Source: [XXHASH], the XXH64 algorithm.
type xxh64 struct {
	lanes [4]uint64
	tail  [32]byte // what does not fill a stripe yet
	n     int      // of tail
	total uint64
}

// The primes of the algorithm. Source: [XXHASH].
const (
	prime1 uint64 = 0x9E3779B185EBCA87
	prime2 uint64 = 0xC2B2AE3D27D4EB4F
	prime3 uint64 = 0x165667B19E3779F9
	prime4 uint64 = 0x85EBCA77C2B2AE63
	prime5 uint64 = 0x27D4EB2F165667C5
)

func new64() *xxh64 {
	x := &xxh64{}
	x.Reset()
	return x
}

func (x *xxh64) Reset() {
	p1, p2 := prime1, prime2 // variables, so that they may wrap around
	*x = xxh64{lanes: [4]uint64{p1 + p2, p2, 0, -p1}}
}

func (x *xxh64) Size() int      { return 8 }
func (x *xxh64) BlockSize() int { return len(x.tail) }

func (x *xxh64) Write(b []byte) (int, error) {
	written := len(b)
	x.total += uint64(written)
	if x.n > 0 {
		took := copy(x.tail[x.n:], b)
		x.n, b = x.n+took, b[took:]
		if x.n < len(x.tail) {
			return written, nil
		}
		x.stripe(x.tail[:])
		x.n = 0
	}
	for ; len(b) >= len(x.tail); b = b[len(x.tail):] {
		x.stripe(b)
	}
	x.n = copy(x.tail[:], b)
	return written, nil
}

func (x *xxh64) stripe(b []byte) {
	for i := range x.lanes {
		x.lanes[i] = round64(x.lanes[i], binary.LittleEndian.Uint64(b[8*i:]))
	}
}

func round64(lane, v uint64) uint64 { return bits.RotateLeft64(lane+v*prime2, 31) * prime1 }

// Sum appends the canonical, big-endian form.
func (x *xxh64) Sum(b []byte) []byte { return binary.BigEndian.AppendUint64(b, x.sum64()) }

func (x *xxh64) sum64() uint64 {
	h := prime5 // the seed and prime5
	if x.total >= uint64(len(x.tail)) {
		h = 0
		for i, turn := range []int{1, 7, 12, 18} {
			h += bits.RotateLeft64(x.lanes[i], turn)
		}
		for _, lane := range x.lanes {
			h = (h^round64(0, lane))*prime1 + prime4
		}
	}
	h += x.total
	rest := x.tail[:x.n]
	for ; len(rest) >= 8; rest = rest[8:] {
		h = bits.RotateLeft64(h^round64(0, binary.LittleEndian.Uint64(rest)), 27)*prime1 + prime4
	}
	if len(rest) >= 4 {
		h = bits.RotateLeft64(h^uint64(binary.LittleEndian.Uint32(rest))*prime1, 23)*prime2 + prime3
		rest = rest[4:]
	}
	for _, c := range rest {
		h = bits.RotateLeft64(h^uint64(c)*prime5, 11) * prime1
	}
	h = (h ^ h>>33) * prime2
	h = (h ^ h>>29) * prime3
	return h ^ h>>32
}
