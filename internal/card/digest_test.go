package card

import (
	"strings"
	"testing"

	"takeweave/internal/interchange"
)

const (
	xxh64Hash  = interchange.XXH64Hash
	xxh3Hash   = interchange.XXH3Hash
	xxh128Hash = interchange.XXH128Hash
	md5Hash    = interchange.MD5Hash
)

// sumInParts hashes b in parts of n bytes.
func sumInParts(b []byte, n int) sums {
	s := newSumming(interchange.HashFormats)
	for len(b) > 0 {
		k := min(n, len(b))
		_, _ = s.Write(b[:k])
		b = b[k:]
	}
	return s.sums()
}

// TestPublishedHashes: the 15 bytes of the reference implementation's own tests
// and the files of its scenarios [ASCMHL]; the others computed with the reference
// implementation of [XXHASH] and with MD5.
func TestPublishedHashes(t *testing.T) {
	mebibyte := make([]byte, 1<<20)
	for i := range mebibyte {
		mebibyte[i] = byte(i)
	}
	for _, c := range []struct {
		in   string
		want sums
	}{
		{"media-hash-list", sums{
			md5Hash: "9db0fc9f30f5ee70041a7538809e2858", interchange.SHA1Hash: "7b57673ac5633937a55b59009ad0c57ee08188b7",
			xxh64Hash: "584b2ea1974f2b7c", xxh3Hash: "6d4cbd75905c81aa", xxh128Hash: "61a67c014f703a456ee7a776fd8c06bd",
			interchange.C4Hash: "c456LycWwpMMS7VDZEKvYv2L1uJS6s4qAFnaJdnQiy5JVbBFZMA8aLDS6SPaJjLqxXH4qZdnbuktopMt9frtC2qL1R",
		}},
		{"", sums{xxh64Hash: "ef46db3751d8e999", xxh3Hash: "2d06800538d394c2", xxh128Hash: "99aa06d3014798d86001c324468d497f", md5Hash: "d41d8cd98f00b204e9800998ecf8427e"}},
		{"a", sums{xxh64Hash: "d24ec4f1a98c6e5b", xxh3Hash: "e6c632b61e964e1f", xxh128Hash: "a96faf705af16834e6c632b61e964e1f", md5Hash: "0cc175b9c0f1b6a831c399e269772661"}},
		{"abc", sums{xxh64Hash: "44bc2cf5ad770999", xxh3Hash: "78af5f94892f3950", xxh128Hash: "06b05ab6733a618578af5f94892f3950"}},
		{"hello world", sums{xxh64Hash: "45ab6734b21e6968", xxh3Hash: "d447b1ea40e6988b", xxh128Hash: "df8d09e93f874900a99b8775cc15b6c7"}},
		{"The quick brown fox jumps over the lazy dog", sums{xxh64Hash: "0b242d361fda71bc", xxh3Hash: "ce7d19a5418fb365", xxh128Hash: "ddd650205ca3e7fa24a1cc2e3a8a7651"}},
		{"abcd\n", sums{xxh64Hash: "0ea03b369a463d9d", xxh3Hash: "5c6d5318a0809172", xxh128Hash: "ad3e38cc4333ed1b742b20a1b224a05e", md5Hash: "f5ac8127b3b6b85cdc13f237c6005d80"}},
		{"def\n", sums{xxh64Hash: "7680e5f98f4a80fd", xxh3Hash: "4efdb9f79f57a82b", xxh128Hash: "1064874a071b0e5ebf280cf748ade959", md5Hash: "614dd0e977becb4c6f7fa99e64549b12"}},
		{string(mebibyte), sums{xxh64Hash: "44ec7540579dd3f0", xxh3Hash: "d36c0e13a3df139e", xxh128Hash: "1b208d2839093774d36c0e13a3df139e", md5Hash: "c35cc7d8d91728a0cb052831bc4ef372"}},
	} {
		checkSums(t, c.in, c.want)
	}
}

// TestHashSelfTest repeats the self-test of [XXHASH] with its own buffer.
func TestHashSelfTest(t *testing.T) {
	buffer, g := make([]byte, 2367), uint64(2654435761)
	for i := range buffer {
		buffer[i] = byte(g >> 56)
		g *= 11400714785074694797
	}
	for _, c := range []struct {
		n    int
		want sums
	}{
		{1, sums{xxh64Hash: "e934a84adb052768", xxh3Hash: "c44bdff4074eecdb", xxh128Hash: "a6cd5e9392000f6ac44bdff4074eecdb"}},
		{4, sums{xxh64Hash: "9136a0dca57457ee"}},
		{12, sums{xxh3Hash: "a713daf0dfbb77e7", xxh128Hash: "6e3efd8fc7802b18061a192713f69ad9"}},
		{14, sums{xxh64Hash: "8282dcc4994e35c8"}},
		{48, sums{xxh3Hash: "397da259ecba1f11", xxh128Hash: "a002ac4e5478227ef942219aed80f67b"}},
		{195, sums{xxh3Hash: "cd94217ee362ec3a"}},
		{222, sums{xxh64Hash: "b641ae8cb691c174"}},
		{403, sums{xxh3Hash: "cdeb804d65c6dea4", xxh128Hash: "1b6de21e332dd73dcdeb804d65c6dea4"}},
		{2367, sums{xxh3Hash: "cb37aeb9e5d361ed", xxh128Hash: "e89c0f6ff369b427cb37aeb9e5d361ed"}},
	} {
		checkSums(t, string(buffer[:c.n]), c.want)
	}
}

// checkSums compares, however the bytes arrive.
func checkSums(t *testing.T, in string, want sums) {
	t.Helper()
	parts := []int{len(in) + 1, 31, 32, 33, 4096}
	if len(in) < 10_000 {
		parts = append(parts, 1, 7)
	}
	for _, n := range parts {
		got := sumInParts([]byte(in), n)
		for f, w := range want {
			if got[f] != w {
				t.Errorf("%s of %d bytes in parts of %d: %s, want %s", f, len(in), n, got[f], w)
			}
		}
	}
}

func TestUnknownFormatsAreLeftOut(t *testing.T) {
	if got := newSumming([]interchange.HashFormat{"md6", md5Hash}).sums(); len(got) != 1 || !strings.HasPrefix(got[md5Hash], "d41d") {
		t.Errorf("%v", got)
	}
}
