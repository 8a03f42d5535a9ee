package media

import (
	"encoding/binary"
	"errors"
	"io"
	"os"
)

// setRotation writes into an MP4 or MOV file of one picture track, w x h as
// stored, that players turn it clockwise by 90, 180 or 270 degrees. FFmpeg's way
// of asking for this changes from version to version.
//
// Source: ISO/IEC 14496-12, 8.3.2 (track header box) and 6.2.2 (matrix).
func setRotation(path string, w, h, degrees int) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	defer f.Close()
	end, err := f.Seek(0, io.SeekEnd)
	if err != nil {
		return err
	}
	at, err := pictureHeader(f, 0, end)
	if err != nil {
		return err
	}
	var version [1]byte
	if _, err := f.ReadAt(version[:], at); err != nil {
		return err
	}
	at += 40 // version, flags, times, id, duration, layer, group, volume
	if version[0] == 1 {
		at += 12 // the times and the duration have 64 bits
	}
	const one, last = 1 << 16, 1 << 30
	var m [9]int32 // a b u, c d v, x y w
	switch degrees {
	case 90:
		m = [9]int32{0, one, 0, -one, 0, 0, int32(h) * one, 0, last}
	case 180:
		m = [9]int32{-one, 0, 0, 0, -one, 0, int32(w) * one, int32(h) * one, last}
	case 270:
		m = [9]int32{0, -one, 0, one, 0, 0, 0, int32(w) * one, last}
	default:
		return errors.New("media: a picture turns by 90, 180 or 270 degrees")
	}
	raw := make([]byte, 0, 36)
	for _, v := range m {
		raw = binary.BigEndian.AppendUint32(raw, uint32(v))
	}
	if _, err := f.WriteAt(raw, at); err != nil {
		return err
	}
	return f.Close()
}

var errNoHeader = errors.New("media: no header of a picture track")

// pictureHeader returns where the content of the track header box of the first
// track with a picture size begins, looking from `at` to `end`.
func pictureHeader(f io.ReaderAt, at, end int64) (int64, error) {
	for at+8 <= end {
		var head [16]byte
		if _, err := f.ReadAt(head[:8], at); err != nil {
			return 0, err
		}
		size, body := int64(binary.BigEndian.Uint32(head[:])), at+8
		if size == 1 {
			if _, err := f.ReadAt(head[8:], at+8); err != nil {
				return 0, err
			}
			size, body = int64(binary.BigEndian.Uint64(head[8:])), at+16
		}
		if size < body-at || at+size > end {
			return 0, errNoHeader
		}
		switch string(head[4:8]) {
		case "moov", "trak":
			if found, err := pictureHeader(f, body, at+size); err == nil {
				return found, nil
			}
		case "tkhd":
			var width [4]byte // the picture size is the last of the box; 0 for sound
			if _, err := f.ReadAt(width[:], at+size-8); err != nil {
				return 0, err
			}
			if binary.BigEndian.Uint32(width[:]) != 0 {
				return body, nil
			}
		}
		at += size
	}
	return 0, errNoHeader
}
