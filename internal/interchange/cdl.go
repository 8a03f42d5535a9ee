package interchange

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"strings"

	"takeweave/internal/film"
)

// cdlSpace is the XML namespace of ASC CDL files.
const cdlSpace = "urn:ASC:CDL:v1.01"

// ReadCDL reads the colour corrections of an ASC CDL file in order: one
// ColorCorrection (.cc), a ColorCorrectionCollection (.ccc) or a
// ColorDecisionList (.cdl). A part that is missing changes nothing. They do not
// clamp, because these files leave that to the program: set NoClamp to false for
// pictures within 0..1. Elements of others are passed over with a note.
//
// Source: [ASCCDL]; the element name SATNode is common practice.
func ReadCDL(text []byte, path string) ([]film.CDL, error) {
	all, err := readCDL(text)
	if err != nil {
		return nil, refuseLUT(path, "colour decision", err)
	}
	return all, nil
}

func readCDL(text []byte) ([]film.CDL, error) {
	root, err := parseXML(text)
	if err != nil {
		return nil, err
	}
	var found []*element
	switch root.name {
	case "ColorCorrection":
		found = []*element{root}
	case "ColorCorrectionCollection":
		found = root.all("ColorCorrection")
	case "ColorDecisionList":
		for _, d := range root.all("ColorDecision") {
			found = append(found, d.all("ColorCorrection")...)
		}
	default:
		return nil, faultf(root.line, "%s is not the beginning of a colour decision", root.name)
	}
	if len(found) == 0 {
		return nil, faultf(root.line, "it holds no ColorCorrection")
	}
	var out []film.CDL
	for _, e := range found {
		c, err := correction(e, "SOPNode", "SatNode", "SATNode")
		if err != nil {
			return nil, err
		}
		for _, other := range e.children {
			if !cdlElements[other.name] {
				c.Notes = append(c.Notes, other.name+" was passed over")
			}
		}
		c.NoClamp = true
		out = append(out, c)
	}
	return out, nil
}

// cdlElements may stand in a ColorCorrection.
var cdlElements = map[string]bool{
	"Description": true, "InputDescription": true, "ViewingDescription": true,
	"SOPNode": true, "SatNode": true, "SATNode": true,
}

func (e *element) all(name string) []*element {
	var found []*element
	for _, c := range e.children {
		if c.name == name {
			found = append(found, c)
		}
	}
	return found
}

// correction reads slope, offset, power and saturation from below e, where they
// stand in nodes of the given names.
func correction(e *element, nodes ...string) (film.CDL, error) {
	c := film.NeutralCDL()
	c.ID, c.Notes = e.attrs["id"], e.notes()
	for _, name := range nodes {
		node := e.child(name)
		if node == nil {
			continue
		}
		c.Notes = append(c.Notes, node.notes()...)
		if strings.Contains(strings.ToUpper(name), "SAT") {
			if err := values(node, "Saturation", 0, &c.Saturation); err != nil {
				return c, err
			}
			continue
		}
		for _, part := range []struct {
			name  string
			least float64
			to    *[3]float64
		}{{"Slope", 0, &c.Slope}, {"Offset", -1e9, &c.Offset}, {"Power", 1e-9, &c.Power}} {
			if err := values(node, part.name, part.least, &part.to[0], &part.to[1], &part.to[2]); err != nil {
				return c, err
			}
		}
	}
	return c, nil
}

// values reads the numbers of the child of a name, none below least.
func values(node *element, name string, least float64, to ...*float64) error {
	e := node.child(name)
	if e == nil {
		return faultf(node.line, "%s has no %s", node.name, name)
	}
	v, err := e.numbers(len(to))
	if err != nil {
		return err
	}
	for i := range v {
		if v[i] < least {
			return faultf(e.line, "%s %g is too small", name, v[i])
		}
		*to[i] = v[i]
	}
	return nil
}

// WriteCDL writes corrections as a ColorCorrectionCollection, or a single one as
// a ColorCorrection when one is true: the forms .ccc and .cc. Whether they clamp
// or stand for the inverse cannot be said there.
func WriteCDL(all []film.CDL, one bool) ([]byte, error) {
	if one && len(all) != 1 {
		return nil, &film.Error{
			Code: film.CodeUsage, Msg: fmt.Sprintf("a .cc file holds one correction, not %d", len(all)),
			Hint: "write a .ccc file",
		}
	}
	var b bytes.Buffer
	b.WriteString(xml.Header)
	if one {
		writeCorrection(&b, all[0], fmt.Sprintf(" xmlns=%q", cdlSpace), "")
		return b.Bytes(), nil
	}
	fmt.Fprintf(&b, "<ColorCorrectionCollection xmlns=%q>\n", cdlSpace)
	for _, c := range all {
		writeCorrection(&b, c, "", "  ")
	}
	b.WriteString("</ColorCorrectionCollection>\n")
	return b.Bytes(), nil
}

// WriteCDLList writes corrections as a ColorDecisionList, the form .cdl, each
// with the name of the picture it belongs to, if there is one.
func WriteCDLList(all []film.CDL, pictures []string) []byte {
	var b bytes.Buffer
	b.WriteString(xml.Header)
	fmt.Fprintf(&b, "<ColorDecisionList xmlns=%q>\n", cdlSpace)
	for i, c := range all {
		b.WriteString("  <ColorDecision>\n")
		if i < len(pictures) && pictures[i] != "" {
			fmt.Fprintf(&b, "    <MediaRef ref=\"%s\"/>\n", escaped(pictures[i]))
		}
		writeCorrection(&b, c, "", "    ")
		b.WriteString("  </ColorDecision>\n")
	}
	b.WriteString("</ColorDecisionList>\n")
	return b.Bytes()
}

func writeCorrection(b *bytes.Buffer, c film.CDL, attrs, indent string) {
	fmt.Fprintf(b, "%s<ColorCorrection id=\"%s\"%s>\n", indent, escaped(c.ID), attrs)
	writeNotes(b, c.Notes, indent+"  ")
	writeSOP(b, c, indent+"  ")
	fmt.Fprintf(b, "%s</ColorCorrection>\n", indent)
}

func writeNotes(b *bytes.Buffer, notes []string, indent string) {
	for _, n := range notes {
		fmt.Fprintf(b, "%s<Description>%s</Description>\n", indent, escaped(n))
	}
}

func writeSOP(b *bytes.Buffer, c film.CDL, indent string) {
	fmt.Fprintf(b, "%s<SOPNode>\n", indent)
	for _, part := range []struct {
		name string
		v    [3]float64
	}{{"Slope", c.Slope}, {"Offset", c.Offset}, {"Power", c.Power}} {
		fmt.Fprintf(b, "%s  <%s>%v %v %v</%s>\n", indent, part.name, part.v[0], part.v[1], part.v[2], part.name)
	}
	fmt.Fprintf(b, "%s</SOPNode>\n%s<SatNode>\n%s  <Saturation>%v</Saturation>\n%s</SatNode>\n",
		indent, indent, indent, c.Saturation, indent)
}

func escaped(s string) string {
	var b strings.Builder
	// Writing to a strings.Builder cannot fail.
	_ = xml.EscapeText(&b, []byte(s))
	return b.String()
}
