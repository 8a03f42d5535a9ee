package interchange

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// HashFormat is a way to hash, by the name of its element in an ASC Media Hash
// List.
type HashFormat string

// The formats, in the order in which a list holds them. Source: [ASCMHL].
const (
	C4Hash     HashFormat = "c4"
	MD5Hash    HashFormat = "md5"
	SHA1Hash   HashFormat = "sha1"
	XXH128Hash HashFormat = "xxh128"
	XXH3Hash   HashFormat = "xxh3"
	XXH64Hash  HashFormat = "xxh64"
)

// HashFormats are all formats in their order.
var HashFormats = []HashFormat{C4Hash, MD5Hash, SHA1Hash, XXH128Hash, XXH3Hash, XXH64Hash}

// HashAction says what a hash in a list stands for. Files may be checked only
// against originals and verified ones.
type HashAction string

// The actions. Source: [ASCMHL].
const (
	HashOriginal HashAction = "original" // the first in its history
	HashVerified HashAction = "verified" // equal to an earlier one, or a new format after such a check
	HashFailed   HashAction = "failed"   // not equal to the earlier one
)

// HashValue is a hash of a file in the format's own digits.
type HashValue struct {
	Format HashFormat
	Digits string
	Action HashAction // "" in the hashes of folders
	At     time.Time  // the zero time when the list does not say
}

// HashedFile is a file of a list. Paths are relative to the covered folder,
// with forward slashes.
type HashedFile struct {
	Path, PreviousPath string
	Size               int64     // in bytes; -1 when the list does not say
	Modified           time.Time // the zero time when the list does not say
	Hashes             []HashValue
}

// HashedFolder is a folder of a list: the hash of what its files hold, and the
// hash of how they are called as well.
type HashedFolder struct {
	Path               string
	Modified           time.Time
	Content, Structure HashValue
}

// The processes a list may tell of. Source: [ASCMHL].
const (
	InPlace  = "in-place"
	Transfer = "transfer"
)

// HashList is one generation of an ASC Media Hash List. See [ASCMHL].
type HashList struct {
	Made                    time.Time
	Host, Tool, ToolVersion string
	Comment                 string
	Process                 string
	Root                    *HashedFolder // its Path is not used; nil when the list has none
	Ignore                  []string
	Files                   []HashedFile
	Folders                 []HashedFolder
	References              []ChainLink // lists of histories below this one
}

// ChainLink names a list and the C4 of its bytes. Number is 0 in references.
type ChainLink struct {
	Number int
	Path   string
	C4     string
}

// The folder of a history, at the top of the covered folder, and its chain.
// Source: [ASCMHL].
const (
	HistoryFolder = "ascmhl"
	ChainName     = "ascmhl_chain.xml"
)

// HashListName returns the name of a history's list: its number, counted from 1,
// the covered folder's name and the time, in UTC. Source: [ASCMHL].
func HashListName(number int, folder string, at time.Time) string {
	return fmt.Sprintf("%04d_%s_%sZ.mhl", number, folder, at.UTC().Format("2006-01-02_150405"))
}

// HashListNumber returns the number at the beginning of a list's name.
func HashListNumber(name string) (number int, ok bool) {
	digits, _, found := strings.Cut(name, "_")
	number, err := strconv.Atoi(digits)
	return number, found && err == nil && number > 0 && len(digits) >= 4 && strings.HasSuffix(name, ".mhl")
}
