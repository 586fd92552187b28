package exchange

import (
	_ "embed"

	"github.com/klauspost/compress/zstd"
)

// dictionary is text that recurs in parcels: a small one is mostly that. It is part of the
// form, docs/formats/exchange.md, and never changed.
//
//go:embed dictionary.txt
var dictionary []byte

// dictionaryID is the number under which a frame names it.
const dictionaryID = 1

func newEncoder() (*zstd.Encoder, error) {
	return zstd.NewWriter(nil, zstd.WithEncoderLevel(zstd.SpeedBestCompression), zstd.WithEncoderConcurrency(1), zstd.WithEncoderDictRaw(dictionaryID, dictionary))
}

func newDecoder() (*zstd.Decoder, error) {
	return zstd.NewReader(nil, zstd.WithDecoderConcurrency(1), zstd.WithDecoderMaxMemory(MostUnpacked), zstd.WithDecoderDictRaw(dictionaryID, dictionary))
}
