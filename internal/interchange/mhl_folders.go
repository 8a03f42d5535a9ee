package interchange

import (
	"encoding/hex"
	"path"
	"slices"
)

// HashFolders returns the hashes of all folders that hold the files, in order of
// their paths, and of the covered folder itself. Every file has a hash of the
// format; digest hashes bytes into its digits.
//
// The hash of a folder's content is the hash of the sorted hashes of its files
// and of its folders' contents; that of its structure is the hash of the sorted
// hashes of name and hash of each.
//
// Source: [ASCMHL], Appendix G.
func HashFolders(files []HashedFile, format HashFormat, digest func([]byte) string) (root HashedFolder, below []HashedFolder, err error) {
	tree := map[string]*hashedChildren{".": {}}
	for _, f := range files {
		i := slices.IndexFunc(f.Hashes, func(h HashValue) bool { return h.Format == format })
		if i < 0 {
			return root, nil, faultf(0, "%q has no %s", f.Path, format)
		}
		folderOf(tree, path.Dir(f.Path)).add(path.Base(f.Path), f.Hashes[i].Digits, f.Hashes[i].Digits)
	}
	// The deepest first: longer paths sort after those that they begin with.
	var paths []string
	for p := range tree {
		paths = append(paths, p)
	}
	slices.SortFunc(paths, func(a, b string) int { return depth(b) - depth(a) })
	for _, p := range paths {
		f, err := tree[p].hashed(format, digest)
		if err != nil {
			return root, nil, err
		}
		if f.Path = p; p == "." {
			return f, sortedFolders(below), nil
		}
		below = append(below, f)
		tree[path.Dir(p)].add(path.Base(p), f.Content.Digits, f.Structure.Digits)
	}
	return root, below, nil
}

// hashedChildren are the children of a folder: their names and their hashes.
type hashedChildren struct{ names, contents, structures []string }

func (c *hashedChildren) add(name, content, structure string) {
	c.names = append(c.names, name)
	c.contents = append(c.contents, content)
	c.structures = append(c.structures, structure)
}

func (c *hashedChildren) hashed(format HashFormat, digest func([]byte) string) (HashedFolder, error) {
	var f HashedFolder
	content, err := HashOfHashes(c.contents, format, digest)
	if err != nil {
		return f, err
	}
	var named []string
	for i, name := range c.names {
		raw, err := digitBytes(c.structures[i], format)
		if err != nil {
			return f, err
		}
		named = append(named, digest(append([]byte(name), raw...)))
	}
	structure, err := HashOfHashes(named, format, digest)
	f.Content = HashValue{Format: format, Digits: content}
	f.Structure = HashValue{Format: format, Digits: structure}
	return f, err
}

// HashOfHashes returns the hash of hashes: those are sorted by their digits,
// turned into bytes and hashed one after the other. Source: [ASCMHL], Appendix G.
func HashOfHashes(digits []string, format HashFormat, digest func([]byte) string) (string, error) {
	var all []byte
	for _, d := range slices.Sorted(slices.Values(digits)) {
		raw, err := digitBytes(d, format)
		if err != nil {
			return "", err
		}
		all = append(all, raw...)
	}
	return digest(all), nil
}

func digitBytes(digits string, format HashFormat) ([]byte, error) {
	if format == C4Hash {
		return c4Sum(digits)
	}
	return hex.DecodeString(digits)
}

// folderOf returns the folder p of the tree, made with all those above it.
func folderOf(tree map[string]*hashedChildren, p string) *hashedChildren {
	if tree[p] == nil {
		tree[p] = &hashedChildren{}
		folderOf(tree, path.Dir(p))
	}
	return tree[p]
}

// depth is 0 for the covered folder itself.
func depth(p string) int {
	n := 0
	for ; p != "."; p = path.Dir(p) {
		n++
	}
	return n
}

func sortedFolders(all []HashedFolder) []HashedFolder {
	slices.SortFunc(all, func(a, b HashedFolder) int {
		if a.Path < b.Path {
			return -1
		}
		return 1
	})
	return all
}
