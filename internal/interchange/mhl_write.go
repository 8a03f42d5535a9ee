package interchange

import (
	"encoding/xml"
	"strconv"
	"time"
	"unicode/utf8"
)

// WriteHashList writes a generation as UTF-8 XML. Every path must be one that
// [CanList] accepts, else WriteHashList panics: a list that names another file
// than it hashed would be worse than none.
//
// Source: [ASCMHL].
func WriteHashList(l *HashList) []byte {
	x := xmlHashList{
		Version: "2.0",
		Creator: xmlCreator{Made: mhlTime(l.Made), Host: l.Host, Tool: xmlTool{l.ToolVersion, l.Tool}, Comment: l.Comment},
		Process: xmlProcess{Process: l.Process},
	}
	if l.Root != nil {
		root := folderElement(*l.Root)
		root.Path = nil
		x.Process.Root = &root
	}
	if len(l.Ignore) > 0 {
		x.Process.Ignore = &xmlIgnore{l.Ignore}
	}
	if len(l.Files)+len(l.Folders) > 0 {
		x.Hashes = &xmlHashes{}
		for _, f := range l.Files {
			x.Hashes.Files = append(x.Hashes.Files, fileElement(f))
		}
		for _, f := range l.Folders {
			x.Hashes.Folders = append(x.Hashes.Folders, folderElement(f))
		}
	}
	if len(l.References) > 0 {
		x.Refs = &xmlReferences{links(l.References)}
	}
	return marshalHashes(x)
}

// CanList reports whether XML 1.0 can hold a path: valid UTF-8 without control
// characters other than tab and the ends of lines.
func CanList(path string) bool {
	for _, c := range path {
		if c < ' ' && c != '\t' && c != '\n' && c != '\r' || c == '\uFFFE' || c == '\uFFFF' {
			return false
		}
	}
	return utf8.ValidString(path)
}

func fileElement(f HashedFile) xmlFile {
	x := xmlFile{Path: xmlPath{Modified: mhlTime(f.Modified), Name: mustList(f.Path)}, Previous: mustList(f.PreviousPath)}
	if f.Size >= 0 {
		x.Path.Size = strconv.FormatInt(f.Size, 10)
	}
	x.set(f.Hashes...)
	return x
}

func folderElement(f HashedFolder) xmlFolder {
	x := xmlFolder{Path: &xmlPath{Modified: mhlTime(f.Modified), Name: mustList(f.Path)}}
	x.Content.set(f.Content)
	x.Structure.set(f.Structure)
	return x
}

func (x *xmlFormats) set(all ...HashValue) {
	for _, h := range all {
		if slot := x.slot(h.Format); slot != nil { // a folder may have none
			*slot = &xmlHash{string(h.Action), mhlTime(h.At), h.Digits}
		}
	}
}

func mustList(path string) string {
	if !CanList(path) {
		panic("interchange: a path that XML cannot hold: " + strconv.Quote(path))
	}
	return path
}

// mhlTime returns an XML dateTime to the second, "" for the zero time.
func mhlTime(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.UTC().Format("2006-01-02T15:04:05-07:00")
}

func marshalHashes(x any) []byte {
	b, err := xml.MarshalIndent(x, "", "  ")
	if err != nil {
		panic(err) // plain structs of strings are always written
	}
	return append(append([]byte(xml.Header), b...), '\n')
}
