package interchange

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// mhlSchema checks XML against the part of XML Schema that the schemas of
// [ASCMHL] use: sequences, choices, attributes, enumerations, dates, integers.
type mhlSchema struct {
	types map[string]*element // by name, of all schemas together
	roots map[string]*element
}

func readMHLSchema(t *testing.T) *mhlSchema {
	t.Helper()
	s := &mhlSchema{map[string]*element{}, map[string]*element{}}
	for _, name := range []string{"ASCMHL.xsd", "ASCMHLDirectory.xsd"} {
		schema := parsedFile(t, filepath.Join("testdata", "mhl", "xsd", name))
		for _, c := range schema.children {
			switch c.name {
			case "element":
				s.roots[c.attrs["name"]] = c
			case "complexType", "simpleType":
				s.types[c.attrs["name"]] = c
			}
		}
	}
	return s
}

func parsedFile(t *testing.T, path string) *element {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	e, err := parseXML(text)
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// check returns the first thing in the text that the schema forbids.
func (s *mhlSchema) check(text []byte) error {
	root, err := parseXML(text)
	if err != nil {
		return err
	}
	rule := s.roots[root.name]
	if rule == nil || !strings.HasPrefix(root.space, "urn:ASC:MHL:") {
		return fmt.Errorf("a root %q of %q", root.name, root.space)
	}
	return s.element(root, rule)
}

func (s *mhlSchema) element(e, rule *element) error {
	name := rule.attrs["type"]
	if name == "" {
		return s.complex(e, rule.child("complexType"))
	}
	return s.typed(e, name)
}

func (s *mhlSchema) typed(e *element, name string) error {
	local := name[strings.IndexByte(name, ':')+1:]
	switch rule := s.types[local]; {
	case local == "MetadataType":
		return nil // anything
	case rule == nil || rule.name == "simpleType":
		if len(e.children) > 0 {
			return fmt.Errorf("%s has children", e.name)
		}
		return s.simple(strings.TrimSpace(e.text.String()), local)
	default:
		return s.complex(e, rule)
	}
}

var xmlDateTime = regexp.MustCompile(`^-?\d{4,}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?(Z|[+-]\d\d:\d\d)?$`)

func (s *mhlSchema) simple(text, name string) error {
	switch name {
	case "string":
		return nil
	case "dateTime":
		if !xmlDateTime.MatchString(text) {
			return fmt.Errorf("%q is no dateTime", text)
		}
		return nil
	case "integer":
		if _, err := strconv.Atoi(text); err != nil {
			return fmt.Errorf("%q is no integer", text)
		}
		return nil
	}
	rule := s.types[name]
	if rule == nil {
		return fmt.Errorf("no type %q", name)
	}
	limits := rule.child("restriction").children
	if len(limits) == 0 || limits[0].name != "enumeration" {
		return nil
	}
	if !slices.ContainsFunc(limits, func(l *element) bool { return l.attrs["value"] == text }) {
		return fmt.Errorf("%q is not one of %s", text, name)
	}
	return nil
}

func (s *mhlSchema) complex(e, rule *element) error {
	attributes := rule
	if simple := rule.child("simpleContent"); simple != nil {
		attributes = simple.child("extension")
		if err := s.typed(&element{name: e.name, text: e.text, children: e.children}, attributes.attrs["base"]); err != nil {
			return err
		}
	} else {
		rest, err := s.particles(e.children, rule)
		if err != nil {
			return err
		}
		if len(rest) > 0 {
			return fmt.Errorf("%s is not expected in %s here", rest[0].name, e.name)
		}
	}
	return s.attributes(e, attributes)
}

func (s *mhlSchema) attributes(e, rule *element) error {
	known := map[string]bool{"xmlns": true, "xsi": true, "schemaLocation": true}
	for _, a := range rule.all("attribute") {
		name := a.attrs["name"]
		known[name] = true
		v, given := e.attrs[name]
		switch {
		case !given && a.attrs["use"] == "required":
			return fmt.Errorf("%s has no %s", e.name, name)
		case given && a.attrs["fixed"] != "" && v != a.attrs["fixed"]:
			return fmt.Errorf("%s is %q", name, v)
		case given && a.attrs["type"] != "":
			if err := s.simple(v, strings.TrimPrefix(a.attrs["type"], "ascmhl:")); err != nil {
				return err
			}
		}
	}
	for name := range e.attrs {
		if !known[name] {
			return fmt.Errorf("%s has an attribute %s", e.name, name)
		}
	}
	return nil
}

// particles takes what the sequences and choices of a rule allow from the
// beginning of the children and returns the rest.
func (s *mhlSchema) particles(children []*element, rule *element) ([]*element, error) {
	for _, p := range rule.children {
		n := 0
		for more := true; more; more = many(p) {
			rest, err := s.particle(children, p)
			if err != nil {
				return nil, err
			}
			if len(rest) == len(children) {
				break
			}
			children = rest
			n++
		}
		if n == 0 && p.attrs["minOccurs"] != "0" && p.name == "element" {
			return nil, fmt.Errorf("%s is missing", p.attrs["name"])
		}
	}
	return children, nil
}

func many(p *element) bool { return p.attrs["maxOccurs"] == "unbounded" }

func (s *mhlSchema) particle(children []*element, p *element) ([]*element, error) {
	switch p.name {
	case "element":
		if len(children) > 0 && children[0].name == p.attrs["name"] {
			return children[1:], s.element(children[0], p)
		}
	case "sequence":
		return s.particles(children, p)
	case "choice":
		for _, c := range p.children {
			if rest, err := s.particle(children, c); err != nil || len(rest) < len(children) {
				return rest, err
			}
		}
	}
	return children, nil
}

func TestTheSchemaCheckerAcceptsTheirsAndRefusesFaults(t *testing.T) {
	s := readMHLSchema(t)
	theirs := mhlFiles(t)
	for _, p := range theirs {
		text, err := os.ReadFile(p)
		if err != nil {
			t.Fatal(err)
		}
		if err := s.check(text); err != nil {
			t.Errorf("%s: %v", p, err)
		}
	}
	list, err := os.ReadFile(theirs[0])
	if err != nil {
		t.Fatal(err)
	}
	for _, fault := range [][2]string{
		{`version="2.0"`, `version="1.0"`},
		{`version="2.0"`, ``},
		{`<hostname>myHost.local</hostname>`, ``},
		{`action="original"`, `action="hoped"`},
		{`size="5"`, `size="five"`},
		{`size="5"`, `length="5"`},
		{`<process>in-place</process>`, `<process>guess</process>`},
		{`2020-01-16T09:15:00+00:00</creationdate>`, `yesterday</creationdate>`},
		{`xxh64`, `xxh65`},
		{`<content>`, `<content><a/>`},
		{`urn:ASC:MHL:v2.0`, `urn:other`},
	} {
		bad := strings.ReplaceAll(string(list), fault[0], fault[1])
		if bad == string(list) {
			t.Fatalf("%q does not occur", fault[0])
		}
		if s.check([]byte(bad)) == nil {
			t.Errorf("%q in place of %q was accepted", fault[1], fault[0])
		}
	}
}

// mhlFiles returns the lists and chains of others.
func mhlFiles(t *testing.T) []string {
	t.Helper()
	var all []string
	for _, pattern := range []string{"scenario_*/*/*/ascmhl/*", "xsd/examples/*"} {
		found, err := filepath.Glob(filepath.Join("testdata", "mhl", filepath.FromSlash(pattern)))
		if err != nil || len(found) == 0 {
			t.Fatal("no samples", err)
		}
		all = append(all, found...)
	}
	return all
}
