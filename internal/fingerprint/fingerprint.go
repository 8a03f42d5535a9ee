// Package fingerprint names content by its hash: files by their bytes, results
// by everything that they depend on. Hash: XXH3, 128 bit, in hexadecimal.
package fingerprint

import (
	"context"
	"encoding/hex"
	"encoding/json"
	"io"
	"os"

	"github.com/zeebo/xxh3"

	"takeweave/internal/film"
)

// Of hashes everything that a result depends on. The parts must be plain data:
// their JSON is what counts.
func Of(parts ...any) string {
	b, err := json.Marshal(parts)
	if err != nil {
		panic("fingerprint: a key part is not plain data: " + err.Error())
	}
	h := xxh3.Hash128(b).Bytes()
	return hex.EncodeToString(h[:])
}

// File hashes a file's bytes. read is told how many bytes were read, piece by
// piece.
func File(ctx context.Context, path string, read func(n float64)) (string, error) {
	f, err := os.Open(path)
	if err != nil {
		return "", &film.Error{Code: film.CodeNotFound, Path: path, Msg: "cannot be read", Hint: "check that the card or disk is still connected", Err: err}
	}
	defer f.Close()
	h := xxh3.New128()
	buf := make([]byte, 1<<20)
	for {
		if err := ctx.Err(); err != nil {
			return "", err
		}
		n, err := f.Read(buf)
		_, _ = h.Write(buf[:n]) // never fails
		read(float64(n))
		if err == io.EOF {
			break
		}
		if err != nil {
			return "", &film.Error{Code: film.CodeUnreadable, Path: path, Msg: "cannot be read to its end", Hint: "check that the card or disk is still connected, then run the same command again", Err: err}
		}
	}
	sum := h.Sum128().Bytes()
	return hex.EncodeToString(sum[:]), nil
}
