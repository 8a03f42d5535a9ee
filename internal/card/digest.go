package card

import (
	"crypto/md5"
	"crypto/sha1"
	"crypto/sha512"
	"encoding/hex"
	"hash"
	"io"

	"github.com/zeebo/xxh3"

	"takeweave/internal/interchange"
)

// ours is the hash that copies are compared by and that our lists hold. Like all
// of xxHash it finds accidents, not forgery.
const ours = interchange.XXH128Hash

// newHash returns the hash function of a format, nil for one that is not known.
// All seeds are 0.
func newHash(f interchange.HashFormat) hash.Hash {
	switch f {
	case interchange.C4Hash:
		return sha512.New()
	case interchange.MD5Hash:
		return md5.New()
	case interchange.SHA1Hash:
		return sha1.New()
	case interchange.XXH128Hash:
		return xxh3.New128()
	case interchange.XXH3Hash:
		return xxh3.New()
	case interchange.XXH64Hash:
		return new64()
	}
	return nil
}

// digitsOf writes a sum in the digits of its format.
func digitsOf(f interchange.HashFormat, sum []byte) string {
	if f == interchange.C4Hash {
		return interchange.C4Digits([sha512.Size]byte(sum))
	}
	return hex.EncodeToString(sum)
}

// digest hashes bytes by the format of our lists.
func digest(b []byte) string {
	h := newHash(ours)
	_, _ = h.Write(b) // never fails
	return digitsOf(ours, h.Sum(nil))
}

// sums are the hashes of one file.
type sums map[interchange.HashFormat]string

// summing hashes by several formats at once.
type summing struct {
	formats []interchange.HashFormat
	hashes  []hash.Hash
	io.Writer
}

func newSumming(formats []interchange.HashFormat) *summing {
	s := &summing{}
	var all []io.Writer
	for _, f := range formats {
		if h := newHash(f); h != nil {
			s.formats, s.hashes, all = append(s.formats, f), append(s.hashes, h), append(all, h)
		}
	}
	s.Writer = io.MultiWriter(all...)
	return s
}

func (s *summing) sums() sums {
	all := sums{}
	for i, f := range s.formats {
		all[f] = digitsOf(f, s.hashes[i].Sum(nil))
	}
	return all
}
