package film

import (
	"errors"
	"fmt"
)

// Code names a kind of failure for tests, JSON and screens. Codes never change
// their meaning.
type Code string

// The codes in use.
const (
	CodeUsage      Code = "usage"       // the command line is wrong
	CodeNoEngine   Code = "no-engine"   // neither a native nor the embedded FFmpeg works
	CodeNotFound   Code = "not-found"   // a file or folder is missing
	CodeNoSound    Code = "no-sound"    // a record without sound
	CodeNoClips    Code = "no-clips"    // a folder in which no clip was found
	CodeUnreadable Code = "unreadable"  // a file that cannot be decoded
	CodeNoSpace    Code = "no-space"    // the disk is full
	CodeExists     Code = "exists"      // something is already there
	CodeNotAFilm   Code = "not-a-film"  // the folder holds no film
	CodeNeedsStep  Code = "needs-step"  // an earlier step has not been done
	CodeNoCoverage Code = "no-coverage" // no pass lines up, so nothing can be cut
	CodeFailed     Code = "failed"      // anything else
)

// Error is what a person is told: what happened, to which file, and what to do.
// Msg is lower case without a full stop; Hint is an action.
type Error struct {
	Code Code   `json:"code"`
	Path string `json:"path,omitempty"`
	Msg  string `json:"message"`
	Hint string `json:"hint,omitempty"`
	Err  error  `json:"-"`
}

// Error returns the message with the quoted path in front when there is one.
func (e *Error) Error() string {
	s := e.Msg
	if e.Path != "" {
		s = fmt.Sprintf("%q %s", e.Path, e.Msg)
	}
	if e.Err != nil {
		s += ": " + e.Err.Error()
	}
	return s
}

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Err }

// CodeOf returns the code of the outermost *Error in err's chain, or CodeFailed.
func CodeOf(err error) Code {
	var e *Error
	if errors.As(err, &e) {
		return e.Code
	}
	return CodeFailed
}

// HintOf returns the hint of the outermost *Error in err's chain, or "".
func HintOf(err error) string {
	var e *Error
	if errors.As(err, &e) {
		return e.Hint
	}
	return ""
}
