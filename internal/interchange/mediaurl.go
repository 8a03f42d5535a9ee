package interchange

import (
	"net/url"
	"path"
	"strings"
)

// fileURL returns the URL of an absolute path, of any system; another path is
// returned as a relative reference. Source: [RFC8089].
func fileURL(p string) string {
	if isDrive(p) || strings.HasPrefix(p, `\\`) {
		p = strings.ReplaceAll(p, `\`, "/")
	}
	switch {
	case strings.HasPrefix(p, "//"): // a share: its host is the authority
		host, rest, _ := strings.Cut(p[2:], "/")
		return (&url.URL{Scheme: "file", Host: host, Path: "/" + rest}).String()
	case isDrive(p):
		p = "/" + p
	case !strings.HasPrefix(p, "/"):
		return (&url.URL{Path: p}).String()
	}
	return (&url.URL{Scheme: "file", Path: p}).String()
}

// mediaPath returns the path that a media URL names, with slashes; what is no
// file URL, or none at all, is returned as it is.
func mediaPath(target string) string {
	u, err := url.Parse(target)
	if err != nil || (u.Scheme != "file" && u.Scheme != "") || u.Opaque != "" || u.RawQuery != "" || u.Fragment != "" {
		return target
	}
	p := u.Path
	switch {
	case len(p) > 1 && p[0] == '/' && isDrive(p[1:]):
		p = p[1:]
	case u.Host != "" && u.Host != "localhost":
		p = "//" + u.Host + p
	}
	return p
}

// isDrive reports whether p begins with a drive letter, as in "C:/".
func isDrive(p string) bool {
	return len(p) > 2 && p[1] == ':' && (p[2] == '/' || p[2] == '\\') && (p[0]|0x20) >= 'a' && (p[0]|0x20) <= 'z'
}

// samePath reports whether two paths name the same place, whichever way their
// separators lean.
func samePath(a, b string) bool { return slashed(a) == slashed(b) }

func slashed(p string) string { return path.Clean(strings.ReplaceAll(p, `\`, "/")) }
