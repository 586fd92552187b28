package main

import (
	"fmt"
	"os"
	"path/filepath"
)

// inProject finds a file of the project from any folder of it.
func inProject(name string) (string, error) {
	folder, err := os.Getwd()
	if err != nil {
		return "", err
	}
	for {
		path := filepath.Join(folder, filepath.FromSlash(name))
		if _, err := os.Stat(filepath.Join(folder, "go.mod")); err == nil {
			return path, nil
		}
		up := filepath.Dir(folder)
		if up == folder {
			return "", fmt.Errorf("%s: run this in a folder of the project", name)
		}
		folder = up
	}
}
