package interchange

import (
	"crypto/sha512"
	"math/big"
	"strings"
)

// ReadChain reads the chain file of a history: its lists in order. Numbers that
// do not count 1, 2, 3 give a *film.Error with film.CodeUnreadable, as does what
// is no chain.
//
// Source: [ASCMHL].
func ReadChain(text []byte, path string) ([]ChainLink, error) {
	var x xmlChain
	if err := unmarshalHashes(text, &x); err != nil {
		return nil, refuseHashes(path, err)
	}
	var all []ChainLink
	for i, l := range x.Links {
		if l.Number != i+1 {
			return nil, refuseHashes(path, faultf(0, "list %d of the chain has the number %d", i+1, l.Number))
		}
		if !insideOnly(l.Path) {
			return nil, refuseHashes(path, faultf(0, "%q is not a path below the folder", l.Path))
		}
		all = append(all, ChainLink{l.Number, l.Path, strings.TrimSpace(l.C4)})
	}
	return all, nil
}

// WriteChain writes the chain file of a history, which has at least one list.
func WriteChain(all []ChainLink) []byte {
	return marshalHashes(xmlChain{Links: links(all)})
}

func links(all []ChainLink) []xmlLink {
	var x []xmlLink
	for _, l := range all {
		x = append(x, xmlLink{l.Number, mustList(l.Path), l.C4})
	}
	return x
}

// C4 returns the C4 identification of bytes.
func C4(text []byte) string {
	return C4Digits(sha512.Sum512(text))
}

// c4Alphabet is base 58 without 0, I, O and l. Source: [ST2114].
const c4Alphabet = "123456789ABCDEFGHJKLMNPQRSTUVWXYZabcdefghijkmnopqrstuvwxyz"

// C4Digits writes a SHA-512 as a C4 identification: "c4" and 88 digits to the
// base 58. Source: [ST2114].
func C4Digits(sum [sha512.Size]byte) string {
	digits := []byte("c4" + strings.Repeat(c4Alphabet[:1], 88))
	n, base, rest := new(big.Int).SetBytes(sum[:]), big.NewInt(58), new(big.Int)
	for i := len(digits) - 1; n.Sign() > 0; i-- {
		n.DivMod(n, base, rest)
		digits[i] = c4Alphabet[rest.Int64()]
	}
	return string(digits)
}

// c4Sum reads a C4 identification back into its SHA-512.
func c4Sum(digits string) ([]byte, error) {
	text, isC4 := strings.CutPrefix(digits, "c4")
	n, base := new(big.Int), big.NewInt(58)
	for _, d := range text {
		v := strings.IndexRune(c4Alphabet, d)
		if v < 0 {
			isC4 = false
			break
		}
		n.Add(n.Mul(n, base), big.NewInt(int64(v)))
	}
	if !isC4 || len(text) != 88 || n.BitLen() > 8*sha512.Size {
		return nil, faultf(0, "%q is not a C4 identification", digits)
	}
	return n.FillBytes(make([]byte, sha512.Size)), nil
}
