package scenarios

import (
	"encoding/json"
	"regexp"
	"strings"

	"pipelag/units"
)

//go:generate go test -run TestSchemaFile -update

// schema is a JSON Schema; encoding/json writes its keys in order.
type schema map[string]any

// Schema is the JSON Schema of a scenario, for editors. It is looser than
// Load: it knows keys and the look of a value, not whether houses make sense.
func Schema() []byte {
	return document(scenarioKeys.schema(), "A house and its hot-water piping layouts")
}

// StudySchema is the JSON Schema of a study, likewise.
func StudySchema() []byte {
	return document(studyKeys.schema(), "Variations of a house and its hot-water piping layouts")
}

func document(top schema, title string) []byte {
	top["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	top["title"] = title
	text, err := json.MarshalIndent(top, "", "  ")
	if err != nil {
		panic("scenarios: the schema is not JSON: " + err.Error()) // it holds text and numbers only
	}
	return append(text, '\n')
}

// schema is the JSON Schema of a mapping.
func (t table[T]) schema() schema {
	properties, required := schema{}, []string{}
	for _, row := range t.rows() {
		s := row.value.schema()
		s["description"] = row.doc
		properties[row.key] = s
		if row.need {
			required = append(required, row.key)
		}
	}
	s := schema{"type": "object", "additionalProperties": false, "properties": properties}
	if len(required) > 0 {
		s["required"] = required
	}
	return s
}

// quantitySchema is the look of a quantity: a number first, then one of the
// dimension's units.
func quantitySchema(d units.Dimension) schema {
	var spellings []string
	for _, s := range d.Spellings() {
		spellings = append(spellings, regexp.QuoteMeta(s))
	}
	return schema{
		"type":     "string",
		"pattern":  "^[-−+]?[0-9.].*(" + strings.Join(spellings, "|") + ")$",
		"examples": strings.Split(d.Example(), " or "),
	}
}
