package card

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"takeweave/internal/interchange"
)

// history is what the hash lists of a folder say, all generations together.
type history struct {
	dir   string
	links []interchange.ChainLink
	known map[string]known // by path
	wrong []string         // what is wrong with the lists themselves
	last  time.Time        // when the latest list was made
}

// known is what a history says of a file. Only originals and verified hashes
// count, and of each format the first.
type known struct {
	sums sums
	size int64
	at   time.Time // of the list that told it last
}

// agrees reports whether a file with the given sums is the known one: every
// format in both is equal, and there is one.
func (k known) agrees(s sums) bool {
	shared := 0
	for f, digits := range k.sums {
		if got, ok := s[f]; ok {
			if shared++; got != digits {
				return false
			}
		}
	}
	return shared > 0
}

// chainPath is where the chain of a folder's own history lies in it.
const chainPath = interchange.HistoryFolder + "/" + interchange.ChainName

// historyFiles is the folder of a history's files.
func historyFiles(dir string) string { return filepath.Join(dir, interchange.HistoryFolder) }

// loadHistory reads the history of a folder; one without is empty. Lists that
// are not what their chain says are told in wrong and count for nothing.
func loadHistory(d disk, dir string) (*history, error) {
	h := &history{dir: dir, known: map[string]known{}}
	text, err := readAll(d, filepath.Join(historyFiles(dir), interchange.ChainName))
	if errors.Is(err, fs.ErrNotExist) {
		return h, nil
	}
	if err != nil {
		return nil, err
	}
	if h.links, err = interchange.ReadChain(text, filepath.Join(historyFiles(dir), interchange.ChainName)); err != nil {
		return nil, err
	}
	h.takeAll(d, h.links)
	return h, nil
}

func (h *history) takeAll(d disk, links []interchange.ChainLink) {
	for _, link := range links {
		if err := h.take(d, link); err != nil {
			h.wrong = append(h.wrong, fmt.Sprintf("the hash list %s: %v", link.Path, err))
		}
	}
}

// since returns a history as far as it goes on from the one it begins with. A
// card's own lists tell what was on the card, not what was copied to a place.
func (h *history) since(d disk, own *history) *history {
	later := &history{dir: h.dir, links: h.links, known: map[string]known{}}
	later.takeAll(d, h.links[len(own.links):])
	return later
}

// take reads one list and adds what it says.
func (h *history) take(d disk, link interchange.ChainLink) error {
	text, err := readAll(d, below(historyFiles(h.dir), link.Path))
	if err != nil {
		return err
	}
	if interchange.C4(text) != link.C4 {
		return errors.New("it is no longer what it was when it was written")
	}
	list, err := interchange.ReadHashList(text, link.Path)
	if err != nil {
		return err
	}
	for _, f := range list.Files {
		k := h.known[f.Path]
		if f.PreviousPath != "" {
			k = h.known[f.PreviousPath]
			delete(h.known, f.PreviousPath)
		}
		if k.sums == nil {
			k.sums = sums{}
		}
		for _, v := range f.Hashes {
			if _, had := k.sums[v.Format]; !had && v.Action != interchange.HashFailed {
				k.sums[v.Format] = v.Digits
			}
		}
		if len(k.sums) > 0 {
			k.size, k.at = f.Size, list.Made
			h.known[f.Path] = k
		}
	}
	h.last = list.Made
	return nil
}

// beginsWith reports whether other is the beginning of this history.
func (h *history) beginsWith(other *history) bool {
	return len(other.links) <= len(h.links) && slices.Equal(other.links, h.links[:len(other.links)])
}

// append adds a generation: the list first, then the chain that names it. What
// an interrupted run left between the two is taken into the chain before.
func (h *history) append(d disk, list *interchange.HashList) (name string, err error) {
	links := slices.Clone(h.links)
	if left, ok := h.unchained(d); ok {
		links = append(links, left)
	}
	name = interchange.HashListName(len(links)+1, path.Base(filepath.ToSlash(h.dir)), list.Made)
	if !interchange.CanList(name) {
		name = interchange.HashListName(len(links)+1, "card", list.Made)
	}
	text := interchange.WriteHashList(list)
	links = append(links, interchange.ChainLink{Number: len(links) + 1, Path: name, C4: interchange.C4(text)})
	if err := d.MakeDir(historyFiles(h.dir)); err != nil {
		return "", err
	}
	if err := writeProven(d, h.dir, name, text, d.Rename); err != nil {
		return "", err
	}
	if err := writeProven(d, h.dir, interchange.ChainName, interchange.WriteChain(links), d.Replace); err != nil {
		return "", err
	}
	h.links = links
	return name, nil
}

// unchained finds the list that would be next in the chain and reads well.
func (h *history) unchained(d disk) (interchange.ChainLink, bool) {
	all, err := d.List(historyFiles(h.dir))
	if err != nil {
		return interchange.ChainLink{}, false
	}
	for _, e := range all {
		if n, ok := interchange.HashListNumber(e.path); !ok || n != len(h.links)+1 {
			continue
		}
		text, err := readAll(d, below(historyFiles(h.dir), e.path))
		if err != nil {
			continue
		}
		if _, err := interchange.ReadHashList(text, e.path); err == nil {
			return interchange.ChainLink{Number: len(h.links) + 1, Path: e.path, C4: interchange.C4(text)}, true
		}
	}
	return interchange.ChainLink{}, false
}

// writeProven writes a file of a history, reads it from the device again and
// gives it its name.
func writeProven(d disk, dir, name string, text []byte, rename func(from, to string) error) error {
	part := filepath.Join(dir, partFolder, "list.part")
	s, err := d.Create(part)
	if err != nil {
		return err
	}
	_, err = s.Write(text)
	if err = errors.Join(err, s.Sync(), s.Close()); err != nil {
		return err
	}
	back, err := readAll(d, part)
	if err != nil {
		return err
	}
	if !bytes.Equal(back, text) {
		return errors.New("what was written reads back differently")
	}
	return rename(part, filepath.Join(historyFiles(dir), name))
}

func readAll(d disk, path string) ([]byte, error) {
	r, _, err := d.Open(path)
	if err != nil {
		return nil, err
	}
	text, err := io.ReadAll(r)
	return text, errors.Join(err, r.Close())
}

// historiesIn returns the histories of a listed folder and of those below it,
// by the path of the folder they cover.
func historiesIn(d disk, dir string, all []entry) (found map[string]*history, wrong []string) {
	found = map[string]*history{}
	for _, e := range all {
		folder, ok := strings.CutSuffix("/"+e.path, "/"+interchange.HistoryFolder+"/"+interchange.ChainName)
		if !ok {
			continue
		}
		h, err := loadHistory(d, below(dir, folder))
		if err != nil {
			wrong = append(wrong, err.Error())
			continue
		}
		found[strings.TrimPrefix(folder, "/")] = h
		wrong = append(wrong, h.wrong...)
	}
	return found, wrong
}

// together returns what histories know, by paths from the top.
func together(all map[string]*history) map[string][]known {
	out := map[string][]known{}
	for _, folder := range slices.Sorted(maps.Keys(all)) {
		for p, k := range all[folder].known {
			p = path.Join(folder, p)
			out[p] = append(out[p], k)
		}
	}
	return out
}
