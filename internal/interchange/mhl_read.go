package interchange

import (
	"encoding/xml"
	"path"
	"slices"
	"strconv"
	"strings"
	"time"

	"takeweave/internal/film"
)

// maxHashListBytes is the largest list that is read: about half a million files.
const maxHashListBytes = 256 << 20

// ReadHashList reads one generation of an ASC Media Hash List. path is told in
// errors only: what breaks the format gives a *film.Error with
// film.CodeUnreadable. Elements of others are passed over.
//
// Source: [ASCMHL].
func ReadHashList(text []byte, path string) (*HashList, error) {
	l, err := readHashList(text)
	if err != nil {
		return nil, refuseHashes(path, err)
	}
	return l, nil
}

func readHashList(text []byte) (*HashList, error) {
	var x xmlHashList
	if err := unmarshalHashes(text, &x); err != nil {
		return nil, err
	}
	if x.Version != "2.0" {
		return nil, faultf(0, "it is of version %q, not 2.0", x.Version)
	}
	made, err := hashTime(x.Creator.Made)
	if err != nil {
		return nil, err
	}
	l := &HashList{
		Made: made, Host: x.Creator.Host, Tool: x.Creator.Tool.Name, ToolVersion: x.Creator.Tool.Version,
		Comment: x.Creator.Comment, Process: strings.TrimSpace(x.Process.Process),
	}
	if x.Process.Ignore != nil {
		l.Ignore = x.Process.Ignore.Patterns
	}
	if x.Process.Root != nil {
		root, err := x.Process.Root.read()
		if err != nil {
			return nil, err
		}
		l.Root = &root
	}
	if x.Hashes != nil {
		if err := l.readHashes(x.Hashes); err != nil {
			return nil, err
		}
	}
	if x.Refs != nil {
		for _, r := range x.Refs.Links {
			l.References = append(l.References, ChainLink{Path: r.Path, C4: strings.TrimSpace(r.C4)})
		}
	}
	return l, nil
}

func (l *HashList) readHashes(x *xmlHashes) error {
	for i := range x.Files {
		f, err := x.Files[i].read()
		if err != nil {
			return err
		}
		l.Files = append(l.Files, f)
	}
	for i := range x.Folders {
		f, err := x.Folders[i].read()
		if err != nil {
			return err
		}
		l.Folders = append(l.Folders, f)
	}
	return nil
}

func (x *xmlFile) read() (HashedFile, error) {
	f := HashedFile{Path: x.Path.Name, PreviousPath: x.Previous, Size: -1}
	for _, p := range []string{f.Path, f.PreviousPath} {
		if p != "" && !insideOnly(p) || f.Path == "" {
			return f, faultf(0, "%q is not a path below the folder", p)
		}
	}
	var err error
	if x.Path.Size != "" {
		if f.Size, err = strconv.ParseInt(strings.TrimSpace(x.Path.Size), 10, 64); err != nil || f.Size < 0 {
			return f, faultf(0, "%q has the size %q", f.Path, x.Path.Size)
		}
	}
	if f.Modified, err = hashTime(x.Path.Modified); err != nil {
		return f, err
	}
	f.Hashes, err = x.values()
	return f, err
}

// insideOnly reports whether a path leads nowhere but below its folder.
func insideOnly(p string) bool {
	return !strings.HasPrefix(p, "/") && p == path.Clean(p) && !slices.Contains(strings.Split(p, "/"), "..") && p != "."
}

func (x *xmlFolder) read() (HashedFolder, error) {
	var f HashedFolder
	if x.Path != nil {
		at, err := hashTime(x.Path.Modified)
		if err != nil {
			return f, err
		}
		f.Path, f.Modified = strings.TrimSuffix(x.Path.Name, "/"), at
	}
	for _, part := range []struct {
		from *xmlFormats
		to   *HashValue
	}{{&x.Content, &f.Content}, {&x.Structure, &f.Structure}} {
		all, err := part.from.values()
		if err != nil {
			return f, err
		}
		if len(all) > 0 {
			*part.to = all[0]
		}
	}
	return f, nil
}

func (x *xmlFormats) values() ([]HashValue, error) {
	var all []HashValue
	for _, format := range HashFormats {
		h := *x.slot(format)
		if h == nil {
			continue
		}
		at, err := hashTime(h.At)
		if err != nil {
			return nil, err
		}
		action := HashAction(h.Action)
		if !slices.Contains([]HashAction{"", HashOriginal, HashVerified, HashFailed}, action) {
			return nil, faultf(0, "%q is not an action", h.Action)
		}
		all = append(all, HashValue{format, strings.TrimSpace(h.Digits), action, at})
	}
	return all, nil
}

// hashTime reads an XML dateTime; without a zone it is taken as UTC.
func hashTime(s string) (time.Time, error) {
	s = strings.TrimSpace(s)
	if s == "" {
		return time.Time{}, nil
	}
	for _, layout := range []string{time.RFC3339, "2006-01-02T15:04:05"} {
		if t, err := time.Parse(layout, s); err == nil {
			return t, nil
		}
	}
	return time.Time{}, faultf(0, "%q is not a date and time", s)
}

func unmarshalHashes(text []byte, into any) error {
	if len(text) > maxHashListBytes {
		return faultf(0, "it is larger than %d MB", maxHashListBytes>>20)
	}
	return xml.Unmarshal(text, into)
}

func refuseHashes(path string, err error) error {
	return &film.Error{
		Code: film.CodeUnreadable, Path: path, Msg: "is not a media hash list that can be used", Err: err,
		Hint: "keep the files it lists, and look for another copy of the list",
	}
}
