package interchange

import "bytes"

// notNumbers are tokens that OpenTimelineIO files may hold and JSON has not;
// longer ones come first. Source: [OTIO], its file format.
var notNumbers = []string{"-Infinity", "Infinity", "-Inf", "Inf", "NaN"}

// plainJSON returns text with a byte order mark taken off and with every
// not-a-number outside strings replaced by null.
func plainJSON(text []byte) []byte {
	text = bytes.TrimPrefix(text, []byte("\ufeff"))
	var out []byte // nil while nothing had to be replaced
	kept := 0
	inString := false
	for i := 0; i < len(text); i++ {
		switch c := text[i]; {
		case inString && c == '\\':
			i++
		case c == '"':
			inString = !inString
		case !inString && (c == '-' || c == 'I' || c == 'N'):
			for _, token := range notNumbers {
				if bytes.HasPrefix(text[i:], []byte(token)) {
					out = append(append(out, text[kept:i]...), "null"...)
					i += len(token) - 1
					kept = i + 1
					break
				}
			}
		}
	}
	if kept == 0 {
		return text
	}
	return append(out, text[kept:]...)
}
