package main

// documentScenario says in a document for other programs which scenario it is of.
type documentScenario struct {
	Name   string `json:"name"`
	SHA256 string `json:"sha256"`
}
