package api_test

import (
	"math/big"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/algebra/source"
	"squaremark/api"
	"squaremark/grader/rubric"
)

func same(text string) string { return text }

func renamed(quiz string) func(string) string {
	return func(text string) string { return strings.Replace(text, "quiz: garden-plots", "quiz: "+quiz, 1) }
}

func retitled(title string) func(string) string {
	return func(text string) string { return strings.Replace(text, "title: Garden plots", "title: "+title, 1) }
}

// withRubrics is a circle whose rubrics stand in a folder of the test's own.
func withRubrics(t *testing.T, prepare api.Prepare) (*circle, string, *api.Rubrics) {
	dir := t.TempDir()
	writeRubric(t, dir, "plots.yaml", same)
	var store *api.Rubrics
	c := newCircle(t, func(c *api.Config) {
		store = api.OpenRubrics(dir, prepare, c.Log)
		c.Rubrics = store
	})
	return c, dir, store
}

func (c *circle) face(id string) map[string]any {
	c.t.Helper()
	answer := c.do(c.get("/v1/rubrics/" + id))
	require.Equal(c.t, 200, answer.status, "%s", answer.body)
	return answer.json(c.t)
}

func TestPublicFacesHideTheMarkScheme(t *testing.T) {
	c := newCircle(t)
	list := string(c.do(c.get("/v1/rubrics")).body) + string(c.do(c.get("/v1/rubrics/garden-plots")).body)
	for _, secret := range []string{"-2, -1, 0", "- 22", "(a - 3)^2", "n^2 < 7", "prompt", "model", "marks"} {
		assert.NotContains(t, list, secret)
	}
	face := c.face("garden-plots")
	total := new(big.Rat)
	ids := []string{}
	for _, q := range face["questions"].([]any) {
		question := q.(map[string]any)
		part, ok := new(big.Rat).SetString(question["total"].(string))
		require.True(t, ok)
		total.Add(total, part)
		ids = append(ids, question["id"].(string)+" "+question["kind"].(string))
	}
	assert.Equal(t, []string{"beds integers", "fence square-form", "hedge steps"}, ids)
	assert.Equal(t, face["total"], total.RatString())
	assert.Equal(t, face, c.face(face["digest"].(string)), "by digest")
	assert.Equal(t, face, c.face(strings.Replace(face["digest"].(string), ":", "%3A", 1)), "by escaped digest")
}

func TestReplacedRubricsStayReachableByDigest(t *testing.T) {
	c, dir, store := withRubrics(t, fullMarks)
	old := c.face("garden-plots")["digest"].(string)
	writeRubric(t, dir, "plots.yaml", retitled("Plots in spring"))
	assert.Empty(t, store.Reload())
	fresh := c.face("garden-plots")
	assert.Equal(t, "Plots in spring", fresh["title"])
	assert.NotEqual(t, old, fresh["digest"])
	assert.Equal(t, "Garden plots", c.face(old)["title"])

	answer := c.do(c.submit(c.submission(map[string]any{"rubric": map[string]any{"digest": old}})))
	require.Equal(t, 200, answer.status)
	assert.Equal(t, old, answer.json(t)["rubricDigest"])

	require.NoError(t, os.Remove(filepath.Join(dir, "plots.yaml")))
	writeRubric(t, dir, "roof.yaml", renamed("roof-gardens"))
	store.Reload()
	assert.Equal(t, 404, c.do(c.get("/v1/rubrics/garden-plots")).status, "taken away")
	assert.Equal(t, "Garden plots", c.face(old)["title"], "but not forgotten")
	assert.Equal(t, "Plots in spring", c.face(fresh["digest"].(string))["title"])

	writeRubric(t, dir, "plots.yaml", same)
	store.Reload()
	assert.Equal(t, old, c.face("garden-plots")["digest"], "back again")
}

func TestABrokenFileIsKeptOutAndTold(t *testing.T) {
	c, dir, store := withRubrics(t, fullMarks)
	secret := "(a - 3)^2 >= 0 and nothing else"
	writeRubric(t, dir, "plots.yaml", func(text string) string {
		return strings.Replace(text, "kind: square-form", "kind: "+`"`+secret+`"`, 1)
	})
	writeRubric(t, dir, "roof.yaml", func(string) string { return "rubric: [" })
	assert.NotEmpty(t, store.Reload())

	answer := c.do(c.get("/readyz"))
	assert.Equal(t, 200, answer.status)
	assert.Equal(t, "warn", answer.json(t)["status"])
	assert.Regexp(t, `plots\.yaml is kept out: line \d+, column \d+`, string(answer.body))
	assert.Contains(t, string(answer.body), "roof.yaml is kept out")
	assert.NotContains(t, string(answer.body), "nothing else", "an open document shows no text of a rubric")
	assert.NotContains(t, string(answer.body), dir)
	assert.Contains(t, c.logs.String(), "rubric file", "the log says what is wrong")
	assert.Equal(t, "Garden plots", c.face("garden-plots")["title"], "the good version stays")
	assert.Equal(t, 200, c.do(good(c)).status)

	writeRubric(t, dir, "plots.yaml", same)
	require.NoError(t, os.Remove(filepath.Join(dir, "roof.yaml")))
	store.Reload()
	assert.Equal(t, "pass", c.do(c.get("/readyz")).json(t)["status"])
}

func TestARubricThatCannotBePreparedIsKeptOut(t *testing.T) {
	unsound := func(r *rubric.Rubric) (api.Mark, []*source.Diag) {
		return nil, []*source.Diag{{Severity: source.Error, Code: "claim-false", File: r.File, Message: "the claim fails"}}
	}
	c, _, _ := withRubrics(t, unsound)
	answer := c.do(c.get("/readyz"))
	assert.Equal(t, 503, answer.status)
	assert.Equal(t, "fail", answer.json(t)["status"])
	assert.Contains(t, string(answer.body), "plots.yaml is kept out")
	assert.Equal(t, "unknown-rubric", c.do(good(c)).problem(t))
}

func TestReloadingWhileMarking(t *testing.T) {
	c, dir, store := withRubrics(t, fullMarks)
	var group sync.WaitGroup
	group.Add(1)
	go func() {
		defer group.Done()
		for i := range 30 {
			writeRubric(t, dir, "next.tmp", retitled(strings.Repeat("Plots ", 1+i%3)))
			if os.Rename(filepath.Join(dir, "next.tmp"), filepath.Join(dir, "plots.yaml")) == nil {
				store.Reload()
			}
		}
	}()
	for range 20 {
		assert.Equal(t, 200, c.do(good(c)).status)
	}
	group.Wait()
}

func TestAPlatformSeesItsOwnQuizzesOnly(t *testing.T) {
	c := newCircle(t, func(c *api.Config) { c.Platforms[0].Quizzes = []string{"roof-gardens"} })
	digest := compiledDigest(t)
	assert.Equal(t, []any{}, c.do(c.get("/v1/rubrics")).json(t)["rubrics"])
	assert.Equal(t, 404, c.do(c.get("/v1/rubrics/garden-plots")).status)
	assert.Equal(t, 404, c.do(c.get("/v1/rubrics/"+digest)).status)
	assert.Equal(t, "unknown-rubric", c.do(good(c)).problem(t))
	assert.Equal(t, "unknown-rubric", c.do(changed(map[string]any{"rubric": map[string]any{"digest": digest}})(c)).problem(t))

	c = newCircle(t, func(c *api.Config) { c.Platforms[0].Quizzes = []string{"roof-gardens", "garden-plots"} })
	assert.Equal(t, 200, c.do(c.get("/v1/rubrics/"+digest)).status)
	assert.Equal(t, 200, c.do(good(c)).status)
}

// compiledDigest is the digest of the rubric in testdata.
func compiledDigest(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile("testdata/rubrics/garden-plots.yaml")
	require.NoError(t, err)
	return rubric.Digest(text)
}
