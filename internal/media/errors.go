package media

import (
	"errors"
	"os"
	"strings"

	"takeweave/internal/film"
)

// ErrCutShort marks a clip that could be decoded only in part. What was
// decoded has been delivered and may be used; test with errors.Is.
var ErrCutShort = errors.New("the file is cut short")

// causes translates what FFmpeg says into what a person is told. The first
// match counts.
var causes = []struct {
	says      string
	code      film.Code
	msg, hint string
}{
	{"No space left on device", film.CodeNoSpace, "cannot be written: the disk is full", "free some space and run the same command again; what is done stays done"},
	{"moov atom not found", film.CodeUnreadable, "is cut off: its table of contents is missing", "copy it again from the card; if the camera lost power, let the camera repair it"},
	{"Permission denied", film.CodeUnreadable, "may not be read or written", "check the permissions of the file and its folder"},
	{"No such file or directory", film.CodeNotFound, "is not there", "check the path"},
	{"Cannot allocate memory", film.CodeFailed, "needs more memory than there is", "close other programs, or render a smaller picture"},
	{"Invalid data found", film.CodeUnreadable, "is not a film or sound file that can be read, or it is damaged", "play it elsewhere; if it plays there, convert it to H.264 in MP4"},
	{"Decoder (codec", film.CodeUnreadable, "is coded in a way that this FFmpeg cannot read", "convert it to H.264 in MP4"},
}

// explain turns the failure of a child that worked on path into a film.Error.
// Other errors (a cancelled context, an error of the caller's own function)
// pass unchanged.
func explain(err error, path string) error {
	var child *childError
	if !errors.As(err, &child) {
		return err
	}
	for _, c := range causes {
		if strings.Contains(child.log, c.says) {
			return &film.Error{Code: c.code, Path: path, Msg: c.msg, Hint: c.hint, Err: child}
		}
	}
	return &film.Error{Code: film.CodeFailed, Path: path, Msg: "could not be worked on", Hint: "see the last words of FFmpeg in the message", Err: child}
}

// produce writes out by way of out.part: write fills the part file, which
// already exists and is empty; on success it is synced and renamed, else
// removed.
func produce(out string, write func(part string) error) error {
	part := out + ".part"
	if stat, err := os.Lstat(part); err == nil && stat.Mode().IsRegular() {
		os.Remove(part) // of a run that was killed; its child may still write there
	}
	f, err := os.Create(part) // so that the file has our mode, not the child's
	if err != nil {
		if isDiskFull(err) {
			return noSpace(out, err)
		}
		return &film.Error{Code: film.CodeFailed, Path: out, Msg: "cannot be written", Hint: "check that the folder exists and may be written to", Err: err}
	}
	f.Close()
	if err = write(part); err == nil {
		if err = syncFile(part); err == nil {
			err = os.Rename(part, out)
		}
	}
	if err == nil {
		return nil
	}
	var child *childError
	full := isDiskFull(err) || errors.As(err, &child) && diskFull(part)
	os.Remove(part)
	if full {
		return noSpace(out, err)
	}
	return err
}

func noSpace(path string, err error) error {
	return &film.Error{Code: film.CodeNoSpace, Path: path, Msg: causes[0].msg, Hint: causes[0].hint, Err: err}
}

func syncFile(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	defer f.Close()
	return f.Sync()
}

// diskFull reports whether nothing more can be written to the file. It asks
// the disk itself, since the embedded engine only sees "I/O error".
func diskFull(path string) bool {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_APPEND, 0)
	if err != nil {
		return isDiskFull(err)
	}
	defer f.Close()
	if _, err = f.Write(make([]byte, 64<<10)); err == nil {
		err = f.Sync()
	}
	return err != nil && isDiskFull(err)
}
