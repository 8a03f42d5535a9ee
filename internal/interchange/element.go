package interchange

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strings"
)

// element is an element of an XML text with the line it begins in.
type element struct {
	name     string // without its namespace
	space    string // the namespace
	attrs    map[string]string
	children []*element
	text     strings.Builder // its own characters, without those of children
	line     int             // in which its opening tag ends
}

// Limits of the XML that is read.
const (
	maxElements = 100_000
	maxLevels   = 32
)

// parseXML reads an XML text into its root element.
func parseXML(text []byte) (*element, error) {
	if len(text) > maxLUTBytes {
		return nil, faultf(0, "it is larger than %d MB", maxLUTBytes>>20)
	}
	d := xml.NewDecoder(bytes.NewReader(text))
	var root *element
	var open []*element
	elements := 0
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, xmlFault(d, err)
		}
		switch t := token.(type) {
		case xml.StartElement:
			at, _ := d.InputPos()
			if elements++; elements > maxElements || len(open) >= maxLevels {
				return nil, faultf(at, "more than %d elements or %d levels", maxElements, maxLevels)
			}
			e := &element{name: t.Name.Local, space: t.Name.Space, attrs: map[string]string{}, line: at}
			for _, a := range t.Attr {
				e.attrs[a.Name.Local] = strings.TrimSpace(a.Value)
			}
			switch {
			case len(open) > 0:
				parent := open[len(open)-1]
				parent.children = append(parent.children, e)
			case root != nil:
				return nil, faultf(at, "a second root element, %s", e.name)
			default:
				root = e
			}
			open = append(open, e)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			if len(open) > 0 {
				open[len(open)-1].text.Write(t)
			}
		}
	}
	if root == nil {
		return nil, faultf(0, "it holds no XML element")
	}
	return root, nil
}

func xmlFault(d *xml.Decoder, err error) error {
	var syntax *xml.SyntaxError
	if errors.As(err, &syntax) {
		return faultf(syntax.Line, "%s", syntax.Msg)
	}
	at, _ := d.InputPos()
	return faultf(at, "%v", err)
}

// child returns the first child of a name, nil when there is none.
func (e *element) child(name string) *element {
	for _, c := range e.children {
		if c.name == name {
			return c
		}
	}
	return nil
}

// only refuses children of other names.
func (e *element) only(names ...string) error {
	for _, c := range e.children {
		known := false
		for _, n := range names {
			known = known || c.name == n
		}
		if !known {
			return faultf(c.line, "%s is not an element of %s", c.name, e.name)
		}
	}
	return nil
}

// words returns the text cut at spaces.
func (e *element) words() []string { return strings.Fields(e.text.String()) }

// notes returns what the Description elements below say.
func (e *element) notes() []string {
	var all []string
	for _, c := range e.children {
		if c.name == "Description" {
			if s := strings.Join(c.words(), " "); s != "" {
				all = append(all, s)
			}
		}
	}
	return all
}

// numbers reads the text as numbers; n of them unless n is negative.
func (e *element) numbers(n int) ([]float64, error) {
	at := e.line
	var all []float64
	for rest := range strings.Lines(e.text.String()) {
		for _, w := range strings.Fields(rest) {
			v, err := number(w, at)
			if err != nil {
				return nil, err
			}
			if all = append(all, v); n >= 0 && len(all) > n {
				return nil, faultf(at, "%s holds more than %d numbers", e.name, n)
			}
		}
		at++
	}
	if n >= 0 && len(all) != n {
		return nil, faultf(e.line, "%s holds %d numbers instead of %d", e.name, len(all), n)
	}
	return all, nil
}
