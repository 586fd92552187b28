package app

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/jpeg"
	_ "image/png" // of which a photo can be made

	"golang.org/x/image/draw"

	"sootline"
)

// Upright turns a photo as its EXIF says, and makes it no wider or higher than so many dots. One that is so already is
// given back as it is. A PNG becomes a JPEG.
func Upright(content []byte, most int) ([]byte, error) {
	shape, kind, err := image.DecodeConfig(bytes.NewReader(content))
	if err == nil && shape.Width*shape.Height > mostPixels {
		return nil, sootline.Errorf(sootline.Invalid, "make it smaller", "a photo has at most %d million pixels", mostPixels/1_000_000)
	}
	var picture image.Image
	if err == nil {
		picture, _, err = image.Decode(bytes.NewReader(content))
	}
	if err != nil {
		return nil, sootline.Errorf(sootline.Invalid, "a JPEG or PNG is one", "the photo cannot be read: %w", err)
	}
	size, turn := picture.Bounds(), orientation(content)
	scale := min(1, float64(most)/float64(max(size.Dx(), size.Dy())))
	if turn == 1 && scale == 1 && kind == "jpeg" {
		return content, nil
	}
	small := image.NewRGBA(image.Rect(0, 0, max(1, int(float64(size.Dx())*scale)), max(1, int(float64(size.Dy())*scale))))
	draw.Draw(small, small.Bounds(), image.White, image.Point{}, draw.Src) // what is transparent is paper
	draw.ApproxBiLinear.Scale(small, small.Bounds(), picture, size, draw.Over, nil)
	var out bytes.Buffer
	err = jpeg.Encode(&out, turned(small, turn), &jpeg.Options{Quality: 82})
	return out.Bytes(), err
}

// turned puts a picture upright that was taken with an orientation of EXIF (2.3, tag 0112h, from memory): 1 upright,
// 3 upside down, 6 to be turned a quarter clockwise, 8 anticlockwise; 2, 4, 5 and 7 are mirrored besides.
func turned(in *image.RGBA, turn int) image.Image {
	w, h := in.Bounds().Dx(), in.Bounds().Dy()
	from := map[int]func(x, y int) (int, int){
		2: func(x, y int) (int, int) { return w - 1 - x, y },
		3: func(x, y int) (int, int) { return w - 1 - x, h - 1 - y },
		4: func(x, y int) (int, int) { return x, h - 1 - y },
		5: func(x, y int) (int, int) { return y, x },
		6: func(x, y int) (int, int) { return y, h - 1 - x },
		7: func(x, y int) (int, int) { return w - 1 - y, h - 1 - x },
		8: func(x, y int) (int, int) { return w - 1 - y, x },
	}[turn]
	if from == nil {
		return in
	}
	wide, high := w, h
	if turn > 4 {
		wide, high = h, w
	}
	out := image.NewRGBA(image.Rect(0, 0, wide, high))
	for y := range high {
		for x := range wide {
			out.SetRGBA(x, y, in.RGBAAt(from(x, y)))
		}
	}
	return out
}

// orientation reads how a JPEG was held from its EXIF part; 1 where it does not say.
func orientation(content []byte) int {
	for at := 2; at+4 <= len(content) && content[at] == 0xff && content[at+1] != 0xda; {
		length := int(binary.BigEndian.Uint16(content[at+2:]))
		if end := at + 2 + length; content[at+1] == 0xe1 && length > 8 && end <= len(content) {
			if part := content[at+4 : end]; bytes.HasPrefix(part, []byte("Exif\x00\x00")) {
				return orientationIn(part[6:])
			}
		}
		at += 2 + max(length, 2)
	}
	return 1
}

// orientationIn reads the orientation from the first directory of a TIFF (6.0, section 2).
func orientationIn(tiff []byte) int {
	if len(tiff) < 8 {
		return 1
	}
	var order binary.ByteOrder = binary.BigEndian
	if bytes.HasPrefix(tiff, []byte("II")) {
		order = binary.LittleEndian
	}
	const tag, entry = 0x0112, 12
	at := int64(order.Uint32(tiff[4:]))
	if at+2 > int64(len(tiff)) {
		return 1
	}
	entries := int64(order.Uint16(tiff[at:]))
	for i := range entries {
		from := at + 2 + i*entry
		if from+entry > int64(len(tiff)) {
			return 1
		}
		if order.Uint16(tiff[from:]) == tag {
			if turn := int(order.Uint16(tiff[from+8:])); turn >= 1 && turn <= 8 {
				return turn
			}
		}
	}
	return 1
}
