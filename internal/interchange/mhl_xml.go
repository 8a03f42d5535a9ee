package interchange

import "encoding/xml"

// The elements of an ASC Media Hash List and of its chain, in their order.
// Source: [ASCMHL], its XML schemas.
type (
	xmlHashList struct {
		XMLName xml.Name       `xml:"urn:ASC:MHL:v2.0 hashlist"`
		Version string         `xml:"version,attr"`
		Creator xmlCreator     `xml:"creatorinfo"`
		Process xmlProcess     `xml:"processinfo"`
		Hashes  *xmlHashes     `xml:"hashes"`
		Refs    *xmlReferences `xml:"references"`
	}
	xmlCreator struct {
		Made    string  `xml:"creationdate"`
		Host    string  `xml:"hostname"`
		Tool    xmlTool `xml:"tool"`
		Comment string  `xml:"comment,omitempty"`
	}
	xmlTool struct {
		Version string `xml:"version,attr,omitempty"`
		Name    string `xml:",chardata"`
	}
	xmlProcess struct {
		Process string     `xml:"process"`
		Root    *xmlFolder `xml:"roothash"`
		Ignore  *xmlIgnore `xml:"ignore"`
	}
	xmlIgnore struct {
		Patterns []string `xml:"pattern"`
	}
	xmlHashes struct {
		Files   []xmlFile   `xml:"hash"`
		Folders []xmlFolder `xml:"directoryhash"`
	}
	xmlPath struct {
		Size     string `xml:"size,attr,omitempty"`
		Modified string `xml:"lastmodificationdate,attr,omitempty"`
		Name     string `xml:",chardata"`
	}
	xmlFile struct {
		Path xmlPath `xml:"path"`
		xmlFormats
		Previous string `xml:"previousPath,omitempty"`
	}
	xmlFolder struct {
		Path      *xmlPath   `xml:"path"` // not in a roothash
		Content   xmlFormats `xml:"content"`
		Structure xmlFormats `xml:"structure"`
	}
	xmlFormats struct {
		C4     *xmlHash `xml:"c4"`
		MD5    *xmlHash `xml:"md5"`
		SHA1   *xmlHash `xml:"sha1"`
		XXH128 *xmlHash `xml:"xxh128"`
		XXH3   *xmlHash `xml:"xxh3"`
		XXH64  *xmlHash `xml:"xxh64"`
	}
	xmlHash struct {
		Action string `xml:"action,attr,omitempty"`
		At     string `xml:"hashdate,attr,omitempty"`
		Digits string `xml:",chardata"`
	}
	xmlReferences struct {
		Links []xmlLink `xml:"hashlistreference"`
	}
	xmlChain struct {
		XMLName xml.Name  `xml:"urn:ASC:MHL:DIRECTORY:v2.0 ascmhldirectory"`
		Links   []xmlLink `xml:"hashlist"`
	}
	xmlLink struct {
		Number int    `xml:"sequencenr,attr,omitempty"`
		Path   string `xml:"path"`
		C4     string `xml:"c4"`
	}
)

// slot returns where the hash of a format stands, nil for an unknown format.
func (x *xmlFormats) slot(f HashFormat) **xmlHash {
	switch f {
	case C4Hash:
		return &x.C4
	case MD5Hash:
		return &x.MD5
	case SHA1Hash:
		return &x.SHA1
	case XXH128Hash:
		return &x.XXH128
	case XXH3Hash:
		return &x.XXH3
	case XXH64Hash:
		return &x.XXH64
	}
	return nil
}
