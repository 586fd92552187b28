package listing

import (
	"encoding/binary"
	"errors"
	"io"
	"unicode/utf16"
)

// The container of old workbooks: a file system in a file, of sectors in chains ([MS-CFB], 2.2 to 2.6).

// compound is an opened container.
type compound struct {
	src    io.ReaderAt
	size   int64
	sector int64    // bytes in one
	small  int64    // bytes in one of the small ones
	next   []uint32 // by sector, the one that follows it
	nextS  []uint32 // the same of small sectors
	root   chain    // holds the small sectors
	cutoff int64    // streams below it lie in small sectors
}

var errCompound = errors.New("its parts do not fit together")

const (
	sectorEnd  = 0xfffffffe
	mostChain  = 0xfffffffa // what is no number of a sector begins here
	entrySize  = 128
	headerSize = 512
)

// openCompound reads the header and the chains of sectors. What it keeps is a fraction of the file's size.
func openCompound(src io.ReaderAt, size int64) (*compound, error) {
	head := make([]byte, headerSize)
	if _, err := src.ReadAt(head, 0); err != nil {
		return nil, errCompound
	}
	u16, u32 := binary.LittleEndian.Uint16, binary.LittleEndian.Uint32
	shift := u16(head[30:])
	if shift != 9 && shift != 12 || u16(head[32:]) != 6 {
		return nil, errCompound
	}
	c := &compound{src: src, size: size, sector: 1 << shift, small: 64, cutoff: int64(u32(head[56:]))}
	if err := c.readTable(head); err != nil {
		return nil, err
	}
	entries, err := c.chainFrom(u32(head[48:]), -1)
	if err != nil {
		return nil, err
	}
	smalls, err := c.chainFrom(u32(head[60:]), -1)
	if err != nil {
		return nil, err
	}
	if c.nextS, err = smalls.numbers(); err != nil {
		return nil, err
	}
	c.root = entries // until find names the stream of the root
	return c, nil
}

// readTable reads which sector follows which. Its own sectors are listed in the header, and further on
// in a chain of their own.
func (c *compound) readTable(head []byte) error {
	most := int(c.size/c.sector) + 1
	list := decodeNumbers(head[76:])
	at := binary.LittleEndian.Uint32(head[68:])
	buf := make([]byte, c.sector)
	for steps := 0; at < mostChain; steps++ {
		if steps > most || c.readSector(at, buf) != nil {
			return errCompound
		}
		numbers := decodeNumbers(buf)
		list = append(list, numbers[:len(numbers)-1]...)
		at = numbers[len(numbers)-1]
	}
	for _, at := range list {
		if at >= mostChain {
			continue
		}
		if len(c.next) > most || c.readSector(at, buf) != nil {
			return errCompound
		}
		c.next = append(c.next, decodeNumbers(buf)...)
	}
	return nil
}

func (c *compound) readSector(at uint32, buf []byte) error {
	n, err := c.src.ReadAt(buf, (int64(at)+1)*c.sector)
	if err == io.EOF && n > 0 {
		clear(buf[n:]) // a last sector that was cut short
		err = nil
	}
	return err
}

func decodeNumbers(b []byte) []uint32 {
	out := make([]uint32, len(b)/4)
	for i := range out {
		out[i] = binary.LittleEndian.Uint32(b[4*i:])
	}
	return out
}

// chain is a stream: the sectors that it lies in.
type chain struct {
	c       *compound
	sectors []uint32
	size    int64
	inSmall bool
}

// chainFrom follows a chain, which is no longer than there are sectors; size -1 is that of all of them.
func (c *compound) chainFrom(at uint32, size int64) (chain, error) {
	return c.follow(c.next, at, size, c.sector, false)
}

func (c *compound) follow(next []uint32, at uint32, size, sector int64, small bool) (chain, error) {
	s := chain{c: c, size: size, inSmall: small}
	for at < mostChain {
		if int(at) >= len(next) || len(s.sectors) > len(next) {
			return s, errCompound
		}
		s.sectors = append(s.sectors, at)
		at = next[at]
	}
	whole := int64(len(s.sectors)) * sector
	if size < 0 || size > whole {
		s.size = whole
	}
	return s, nil
}

// ReadAt reads of the stream.
func (s chain) ReadAt(p []byte, at int64) (int, error) {
	sector := s.c.sector
	if s.inSmall {
		sector = s.c.small
	}
	n := 0
	for n < len(p) && at < s.size {
		number, offset := int64(s.sectors[at/sector]), at%sector
		part := p[n : n+int(min(int64(len(p)-n), sector-offset, s.size-at))]
		var err error
		if s.inSmall {
			_, err = s.c.root.ReadAt(part, number*sector+offset)
		} else {
			_, err = s.c.src.ReadAt(part, (number+1)*sector+offset)
		}
		if err != nil && err != io.EOF {
			return n, err
		}
		n, at = n+len(part), at+int64(len(part))
	}
	if n < len(p) {
		return n, io.EOF
	}
	return n, nil
}

func (s chain) numbers() ([]uint32, error) {
	data := make([]byte, s.size)
	if _, err := s.ReadAt(data, 0); err != nil && err != io.EOF {
		return nil, err
	}
	return decodeNumbers(data), nil
}

// find gives the stream of the first of the names that is there; the root's own comes first in the list.
func (c *compound) find(names ...string) (found chain, name string, err error) {
	list := c.root
	entry := make([]byte, entrySize)
	for at := int64(0); at+entrySize <= list.size; at += entrySize {
		if _, err := list.ReadAt(entry, at); err != nil {
			return chain{}, "", err
		}
		start, size := binary.LittleEndian.Uint32(entry[116:]), int64(binary.LittleEndian.Uint32(entry[120:]))
		if at == 0 {
			if c.root, err = c.chainFrom(start, size); err != nil {
				return chain{}, "", err
			}
			continue
		}
		is := entryName(entry)
		for i, n := range names {
			if n != is || name == names[0] && i > 0 {
				continue
			}
			if name = is; size < c.cutoff {
				found, err = c.follow(c.nextS, start, size, c.small, true)
			} else {
				found, err = c.chainFrom(start, size)
			}
			if err != nil {
				return chain{}, "", err
			}
		}
	}
	return found, name, nil
}

func entryName(entry []byte) string {
	n := int(binary.LittleEndian.Uint16(entry[64:]))
	if n < 2 || n > 64 {
		return ""
	}
	var letters []uint16
	for i := 0; i+1 < n-1; i += 2 {
		letters = append(letters, binary.LittleEndian.Uint16(entry[i:]))
	}
	return string(utf16.Decode(letters))
}
