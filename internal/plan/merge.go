package plan

import (
	"bytes"
	"encoding/json"
	"errors"

	"takeweave/internal/film"
)

// Merge returns a plan with the parts that a JSON text has: its fields replace
// those of the plan, fields that are null are taken away, lists are replaced
// whole. What is no field of a plan is an error. Source: [RFC7396].
func Merge(p Plan, text []byte) (Plan, error) {
	var patch, target any
	if err := json.Unmarshal(text, &patch); err != nil {
		return p, notAPlan(err)
	}
	if _, ok := patch.(map[string]any); !ok {
		return p, notAPlan(errors.New("it is no object"))
	}
	body, err := json.Marshal(p)
	if err != nil {
		return p, err
	}
	if err := json.Unmarshal(body, &target); err != nil {
		return p, err
	}
	if body, err = json.Marshal(merged(target, patch)); err != nil {
		return p, err
	}
	var out Plan
	d := json.NewDecoder(bytes.NewReader(body))
	d.DisallowUnknownFields()
	if err := d.Decode(&out); err != nil {
		return p, notAPlan(err)
	}
	return out, nil
}

// merged is MergePatch of RFC 7396, section 2.
func merged(target, patch any) any {
	fields, ok := patch.(map[string]any)
	if !ok {
		return patch
	}
	out, ok := target.(map[string]any)
	if !ok {
		out = map[string]any{}
	}
	for name, value := range fields {
		if value == nil {
			delete(out, name)
		} else {
			out[name] = merged(out[name], value)
		}
	}
	return out
}

func notAPlan(err error) error {
	return &film.Error{
		Code: film.CodeUsage, Msg: "is not a plan",
		Hint: "takeweave plan DIR --write FILE.json shows what one looks like; the fields are in docs/plan.md", Err: err,
	}
}
