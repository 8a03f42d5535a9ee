package job

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"regexp"

	"takeweave/internal/film"
)

// photoName is what a photo of the day may be called: a phone makes it up.
var photoName = regexp.MustCompile(`^[a-z0-9-]{8,64}$`)

// KeepPhoto keeps a photo of the day, a JPEG, in the folder day of the film. One
// of that name that is there already stays.
func (w *Work) KeepPhoto(name string, jpeg []byte) error {
	if !photoName.MatchString(name) || !bytes.HasPrefix(jpeg, []byte{0xff, 0xd8, 0xff}) {
		return &film.Error{Code: film.CodeUsage, Msg: "this is no photo of a phone", Hint: "take it anew"}
	}
	folder := filepath.Join(w.Store.Dir, "day")
	if err := os.MkdirAll(folder, 0o777); err != nil {
		return diskError(folder, err)
	}
	path := filepath.Join(folder, name+".jpg")
	if _, err := os.Stat(path); err == nil {
		return nil
	}
	return writeWhole(path, func(out io.Writer) error {
		_, err := out.Write(jpeg)
		return err
	})
}
