package desk

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/xuri/excelize/v2"

	"tuckmark/config"
	"tuckmark/config/longtests"
	"tuckmark/impose/proof/chromium"
)

// TestShare: whose blocks lie where, what each pays and the messages are those of the PDF, also after a change of the job and in a desk started anew;
// where they are not known any more it says so.
func TestShare(t *testing.T) {
	folder := quickly(t)
	if err := os.WriteFile(filepath.Join(folder, "crop.csv"), []byte("Name,Page,Journaling,Width,Height,Stock\nAnn Lo,4,We rowed out.,4,2,vellum\nAnn Lo,5,Second,2,1,vellum\nBo Ek,6,Third,3,1,vellum\nCy Ho,7,Fourth,3,,vellum\n<b>Di</b>,8,Fifth,2,1,vellum\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(folder, "tuckmark.yaml"), []byte("effort: 2\nstocks:\n  - name: vellum\n    sheets:\n      - size: 8 1/2 x 11 in\n        price: 1.00\ncosts: {ink: 2.50, postage: 3.01 by person}\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	r := begin(t, folder, Options{printer: (&standIn{}).printer()}, "crop.csv")
	c := enter(t, r)
	if !strings.Contains(c.page("/share"), "Make it first") {
		t.Error("it does not say that nothing is made")
	}
	if status, said := c.post("/print/make", "{}"); status != 200 {
		t.Fatal(status, said)
	}
	want := []string{"The account", "1.00", "ink, 2.50, by area; postage, 3.01, by person", ">6.51<", "Your share of the paper, ink and postage is", "Ann Lo", "AL-1", "We rowed out.", "2 blocks of yours are printed and cut:", "“We rowed out.”, page 4, AL-1", "Hello Bo Ek,", "1 held back", "1 block of yours cannot be printed yet:", "&lt;b&gt;Di&lt;/b&gt;"}
	text := c.says("/share", want...)
	if strings.Contains(text, "<b>Di") {
		t.Error("a name is taken for HTML")
	}
	id := r.rows(t, c)[0]
	if got := c.do("POST", "/change", `{"id":"`+id+`","cells":{"Journaling":"We stayed."}}`, nil).StatusCode; got != 200 {
		t.Fatal(got)
	}
	c.says("/share", want...)
	if got := c.do("POST", "/undo", "{}", nil).StatusCode; got != 200 {
		t.Fatal(got)
	}
	if err := r.end(); err != nil {
		t.Fatal(err)
	}
	r = begin(t, folder, Options{printer: (&standIn{}).printer()}, "crop-desk.xlsx")
	c = enter(t, r)
	c.says("/share", want...)
	if got := c.do("POST", "/change", `{"id":"`+r.rows(t, c)[0]+`","cells":{"Journaling":"We stayed."}}`, nil).StatusCode; got != 200 {
		t.Fatal(got)
	}
	if err := r.end(); err != nil {
		t.Fatal(err)
	}
	r = begin(t, folder, Options{printer: (&standIn{}).printer()}, "crop-desk.xlsx")
	c = enter(t, r)
	c.says("/share", "The job was changed since the PDF was made", "/download/report")
	if got := c.do("POST", "/undo", "{}", nil).StatusCode; got != 200 {
		t.Fatal(got)
	}
	// What is printed once more goes into the account, and into that of its own guides.
	if status, said := c.post("/print/make", "{}"); status != 200 {
		t.Fatal(status, said)
	}
	again := make([]string, 60)
	for i := range again {
		again[i] = "AL-1"
	}
	codes, _ := json.Marshal(map[string][]string{"codes": again})
	if status, said := c.post("/print/again", string(codes)); status != 200 {
		t.Fatal(status, said)
	}
	c.says("/share", "the paper of what was printed again since", ">printing again<", "Your share of the paper, ink, postage and printing again is")
	book, err := excelize.OpenFile(filepath.Join(folder, "crop-desk-report-redo.xlsx"))
	if err != nil {
		t.Fatal(err)
	}
	defer book.Close()
	if rows, err := book.GetRows("Account 2"); err != nil || !slices.Contains(rows[0], "owed before") || slices.Contains(rows[0], "ink") {
		t.Errorf("the account of what is printed once more: %v %v", rows, err)
	}
	if err := os.Remove(filepath.Join(folder, "crop-desk-report-redo.xlsx")); err != nil {
		t.Fatal(err)
	}
	c.says("/share", "What was printed once more is not in the account.", "The account")
}

// TestCostOfTwo: of two who type another amount for one cost, the second is told of the first's, which is not overwritten unless that is asked for.
func TestCostOfTwo(t *testing.T) {
	r, b := oneBlock(t, "effort: 2\ncosts: {tea: 3 by person}\n")
	file := filepath.Join(r.folder, "tuckmark.yaml")
	until(t, b, laidAll)
	goTo(t, r, b, "/share")
	has := func(what string) {
		t.Helper()
		if got, err := os.ReadFile(file); err != nil || !strings.Contains(string(got), what) {
			t.Errorf("the file says %s, without %q: %v", got, what, err)
		}
	}
	typeAmount := func(amount string) {
		b.JS(fmt.Sprintf(`{const f = document.getElementById("c0-amount"); f.value = %q; f.dispatchEvent(new Event("change", {bubbles: true}));}`, amount))
	}
	// both has one amount typed, and not yet left, while another page's is kept: the page may hear of that before or after the field is left.
	both := func(elsewhere, here string) {
		b.JS(fmt.Sprintf(`document.getElementById("c0-amount").value = %q`, here))
		b.JS(fmt.Sprintf(`desk.send("/cost", {was: "tea", amount: %q}).then(() => true)`, elsewhere))
		typeAmount(here)
	}
	kept := `document.querySelector("#costs-told [role=status]").textContent.startsWith("Kept.")`
	asked := `document.querySelectorAll("[data-clash]").length === 1`
	both("4", "5")
	until(t, b, asked)
	b.JS(`desk.tell("back")`) // what is not sent is sent again when the desk was away, and is asked about again
	b.JS(`desk.flush().then(() => true)`)
	until(t, b, asked)
	has("tea: 4")
	if said := chromium.Eval[string](b, `document.querySelector("[data-clash]").textContent`); !strings.Contains(said, "the amount of tea") || !strings.Contains(said, "5") || !strings.Contains(said, "4") {
		t.Errorf("it asks %q", said)
	}
	b.JS(`document.querySelectorAll("[data-clash] button")[0].click()`)
	until(t, b, kept)
	has("tea: 5")
	typeAmount("6") // what the page itself has written is no other's
	until(t, b, `document.getElementById("c0-amount").closest("li").dataset.amount.includes("6")`)
	has("tea: 6")
	both("7", "8")
	until(t, b, asked)
	b.JS(`document.querySelectorAll("[data-clash] button")[1].click()`)
	until(t, b, `document.getElementById("c0-amount").value.includes("7") && !desk.unsent()`)
	has("tea: 7")
}

// TestLeftWhileTyped: who goes to another part right after typing a cost or a measure has it kept first; where it cannot be kept, the browser asks, and
// what was typed is there with the reason.
func TestLeftWhileTyped(t *testing.T) {
	t.Parallel()
	r, b := oneBlock(t, "effort: 2\ncosts: {tea: 3 by person}\n")
	until(t, b, laidAll)
	asked := 0
	for _, c := range []struct{ page, field, typed, elsewhere, says string }{
		{"/share", "#c0-amount", "12 or 13", "", "12 or 13"},
		{"/share", "#c0-amount", "33", `desk.send("/cost", {was: "tea", amount: "44"})`, "Somebody else wrote"},
		{"/share", "#c0-amount", "5", "", ""},
		{"/paper", `#machines-list [data-key="margins left"]`, "8 1/2 inc", "", "is no measure"},
		{"/paper", `#machines-list [data-key="margins left"]`, "0.3 in", `desk.send("/machine", {printer: document.querySelector("#machines-list [data-printer]").dataset.printer, key: "margins left", text: "0.4 in"})`, "Somebody else wrote"},
		{"/paper", `#machines-list [data-key="margins left"]`, "0.5 in", "", ""},
	} {
		goTo(t, r, b, c.page)
		until(t, b, `desk.book`) // it listens
		b.JS(fmt.Sprintf(`document.querySelector(%q).select()`, c.field))
		b.Do(chromedp.KeyEvent(c.typed))
		until(t, b, `document.getElementById("saved").textContent === "typing…"`)
		if c.elsewhere != "" {
			b.JS(c.elsewhere + `.then(() => true)`)
		}
		click(b, `nav a[href="/sheets"]`, 1)
		if c.says == "" {
			until(t, b, `location.pathname === "/sheets"`)
			continue
		}
		asked++
		until(t, b, fmt.Sprintf(`[...document.querySelectorAll(".at, #clashes")].some((e) => e.textContent.includes(%q))`, c.says))
		for end := time.Now().Add(20 * time.Second); ; {
			time.Sleep(time.Second)
			_, dialogs := b.Requests()
			if dialogs >= asked {
				asked = dialogs
				break
			}
			if time.Now().After(end) {
				t.Fatalf("%s: the browser asked %d times, want %d", c.typed, dialogs, asked)
			}
			click(b, `nav a[href="/sheets"]`, 1) // what is said above may have moved the link away from under the pointer
		}
		if has := chromium.Eval[string](b, fmt.Sprintf(`location.pathname + " " + document.querySelector(%q).value`, c.field)); has != c.page+" "+c.typed {
			t.Errorf("the page has %q", has)
		}
		b.JS(`for (const f of document.querySelectorAll("input[data-key], #costs input")) f.value = f.defaultValue; document.getElementById("clashes").replaceChildren()`)
	}
	got, err := os.ReadFile(filepath.Join(r.folder, "tuckmark.yaml"))
	if err != nil || !strings.Contains(string(got), "tea: 5 by person") || !strings.Contains(string(got), "left: 0.5 in") && !strings.Contains(string(got), "left: 1/2 in") {
		t.Errorf("the file says %s: %v", got, err)
	}
}

// TestCosts: what was spent besides the paper is typed where things are shared out, changed and taken out again; the account, the letters and the
// report go by it at once, and what was printed and cut stays so.
func TestCosts(t *testing.T) {
	longtests.Only(t)
	folder := quickly(t)
	if err := os.WriteFile(filepath.Join(folder, "crop.csv"), []byte("Name,Page,Journaling,Width,Height,Stock\nAnn Lo,4,We rowed out.,4,2,vellum\nBo Ek,6,Third,3,1,vellum\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(folder, "tuckmark.yaml")
	if err := os.WriteFile(file, []byte("effort: 2 # quick\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	r := begin(t, folder, Options{printer: (&standIn{}).printer()}, "crop.csv")
	c := enter(t, r)
	cost := func(status int, body string, says ...string) {
		t.Helper()
		got, said := c.post("/cost", body)
		if got != status {
			t.Fatalf("%s: %d %s", body, got, said)
		}
		for _, s := range says {
			if !strings.Contains(said, s) {
				t.Errorf("%s: %s, without %q", body, said, s)
			}
		}
	}
	owed := func() (head []string) {
		t.Helper()
		book, err := excelize.OpenFile(filepath.Join(folder, "crop-desk-report.xlsx"))
		if err != nil {
			t.Fatal(err)
		}
		defer book.Close()
		rows, err := book.GetRows("Account")
		if err != nil {
			t.Fatal(err)
		}
		return rows[0]
	}
	cost(200, `{"name":"ink","amount":"€3.50","by":"by area"}`) // before anything is made
	// What a page sends once more as it goes, with what it typed after it, is no other's: it says all that the desk may have by then.
	cost(200, `{"was":"ink","amount":"4.5","seen":{"amount":["€3.50"]}}`)
	cost(200, `{"was":"ink","amount":"4.5","by":"by block","seen":{"amount":["€3.50"],"by":["by area"]}}`, `"by":"by block"`)
	cost(409, `{"was":"ink","amount":"5","by":"by area","seen":{"amount":["€3.50","4.4"],"by":["by block"]}}`, `"others":{"amount":"€4.50"}`)
	cost(200, `{"was":"ink","amount":"5","seen":{"amount":["€3.50","4.5"]}}`)
	cost(200, `{"was":"ink","name":"toner","seen":{}}`, `"name":"toner"`)
	cost(404, `{"was":"ink","name":"toner","amount":"7.77","seen":{"name":[],"amount":["€5.00"]}}`)
	cost(200, `{"was":"ink","name":"toner","amount":"7.77","seen":{"name":["toner"],"amount":["€5.00"]}}`, "€7.77")
	cost(200, `{"was":"ink","name":"glue","seen":{"name":["tonic","toner"]}}`, `"name":"glue"`)
	cost(404, `{"was":"ink","name":"tape","amount":"7.77","seen":{"name":["toner","tape"],"amount":["€4.50"]}}`)
	cost(200, `{"was":"glue","name":"ink","amount":"€3.50","by":"by area"}`)
	if status, said := c.post("/print/make", "{}"); status != 200 {
		t.Fatal(status, said)
	}
	c.says("/share", `value="€3.50"`, "Ink, €3.50, by area", "Your share of ink is")
	pdf, err := os.ReadFile(filepath.Join(folder, "crop-desk.pdf"))
	if err != nil {
		t.Fatal(err)
	}
	cost(200, `{"name":" postage, 2nd  class","amount":"4,80","by":"by person"}`)
	c.says("/share", "postage, 2nd class, €4.80, by person", "share of ink and postage, 2nd class is", "The report has these costs. The guides still have those")
	c.says("/print", "Made of the job as it stands")
	if got := owed(); !slices.Contains(got, "postage, 2nd class") || !slices.Contains(got, "ink") {
		t.Errorf("the report's account has %q", got)
	}
	cost(200, `{"was":"ink","name":"ink and glue","amount":"€4.50","by":"by block"}`)
	c.says("/share", "Ink and glue, €4.50, by block; postage, 2nd class")
	for _, wrong := range []struct {
		status     int
		body, says string
	}{
		{404, `{"was":"ink","name":"ink","amount":"1","by":"by area"}`, "no such cost"},
		{404, `{"was":"","remove":true}`, "no such cost"},
		{404, `{"name":"x","amount":"1","by":"by moon"}`, "no such cost"},
		{422, `{"name":" ","amount":"1","by":"by area"}`, "has no name"},
		{422, `{"name":"INK and glue","amount":"1","by":"by area"}`, "given twice"},
		{409, `{"name":"x","amount":"much","by":"by area"}`, "“much” is not an amount"},
		{409, `{"name":"a name that is a good deal longer than thirty letters","amount":"1","by":"by area"}`, "long"},
	} {
		cost(wrong.status, wrong.body, wrong.says)
	}
	// A report that somebody wrote into is kept under another name.
	ours, err := os.ReadFile(filepath.Join(folder, "crop-desk-report.xlsx"))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(folder, "crop-desk-report.xlsx"), append(ours, 0), 0o600); err != nil {
		t.Fatal(err)
	}
	cost(200, `{"was":"postage, 2nd class","remove":true}`, "crop-desk-report-yours.xlsx")
	if kept, _ := os.ReadFile(filepath.Join(folder, "crop-desk-report-yours.xlsx")); len(kept) != len(ours)+1 {
		t.Error("a report that was changed is not kept")
	}
	if got := owed(); slices.Contains(got, "postage, 2nd class") || !slices.Contains(got, "ink and glue") {
		t.Errorf("the report's account has %q", got)
	}
	if text := c.says("/share", "The guides still have those"); strings.Contains(text, "2nd class") {
		t.Error("what is taken out is still there")
	}
	if now, _ := os.ReadFile(filepath.Join(folder, "crop-desk.pdf")); string(now) != string(pdf) {
		t.Error("the PDF was made anew")
	}
	if text, _ := os.ReadFile(file); string(text) != "effort: 2 # quick\ncosts: {ink and glue: \"€4.50 by block\"}\n" {
		t.Errorf("the configuration holds %q", text)
	}
	// Whatever another program has made of the file is looked at first.
	if err := os.WriteFile(file, []byte("effort: 2\ncosts:\n  glue: 1 # two pots\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	cost(409, `{"was":"ink and glue","remove":true}`, "changed by another program")
	cost(409, `{"was":"glue","amount":"about 5"}`, "“about 5” is not an amount") // no sign is said that nobody typed
	cost(200, `{"was":"glue","name":"glue","amount":"2","by":"by block"}`)
	cost(200, `{"name":"ink","amount":"3","by":"by area"}`)
	if text, _ := os.ReadFile(file); string(text) != "effort: 2\ncosts:\n  ink: 3 by area\n  glue: 2 by block # two pots\n" {
		t.Errorf("the configuration holds %q", text)
	}
	cost(200, `{"was":"ink","remove":true}`)
	cost(200, `{"was":"glue","remove":true}`)
	c.says("/share", "Nothing is to be paid")
	cost(200, `{"name":"tea","amount":"1","by":"by person"}`)
	c.says("/share", "Tea, €1.00, by person")
}

// TestCostsOfCapitals: however the configuration writes the costs, a name stays as it was typed, and is found in any letter case.
func TestCostsOfCapitals(t *testing.T) {
	longtests.Only(t)
	folder := quickly(t)
	file := filepath.Join(folder, "tuckmark.yaml")
	if err := os.WriteFile(filepath.Join(folder, "one.csv"), []byte("Name,Journaling,Width,Height\nAnn,Words,4,2\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	c := enter(t, begin(t, folder, Options{printer: (&standIn{}).printer(), limits: unlimited}, "one.csv"))
	for _, form := range []struct{ costs, then string }{
		{"costs: {Ink: 3.50, tea: 1}\n", "costs: {Toner: 8.00 by area, tea: 1.00 by area, Postage: 4.80 by person}\n"},
		{"costs: \"Ink = 3.50; tea = 1\"\n", "costs: {Toner: 8.00 by area, tea: 1.00 by area, Postage: 4.80 by person}\n"},
		{"costs: [Ink = 3.50, {tea: 1}]\n", "costs: {Toner: 8.00 by area, tea: 1.00 by area, Postage: 4.80 by person}\n"},
		{"costs:\n  tea: 1\n  Ink: 3.50 # two\n", "costs:\n  Postage: 4.80 by person\n  tea: 1\n  Toner: 8.00 by area # two\n"},
		{"costs:\n  \"Ink\": 3.50\n  tea: 1\n", "costs:\n  Postage: 4.80 by person\n  Toner: 8.00 by area\n  tea: 1\n"},
	} {
		if err := os.WriteFile(file, []byte(form.costs), 0o600); err != nil {
			t.Fatal(err)
		}
		if status, _ := c.post("/cost", `{"name":"x","amount":"9","by":"by area"}`); status != 409 { // has the desk look at what another program has written
			t.Fatal(status)
		}
		for _, step := range []struct {
			status     int
			body, says string
		}{
			{200, `{"was":"Ink","amount":"4","seen":{"amount":["3.50"]}}`, `"amount":"4.00","by":"by area","name":"Ink"`},
			{200, `{"was":"Ink","name":"Toner","seen":{}}`, `"name":"Toner"`},
			{200, `{"was":"Toner","amount":"5","seen":{"amount":["4.00"]}}`, `"amount":"5.00"`},
			{200, `{"was":"toner","amount":"6","seen":{"amount":["5.00"]}}`, `"name":"Toner"`},
			{200, `{"was":"Ink","name":"Toner","amount":"7","seen":{"name":["Toner"],"amount":["6.00"]}}`, `"amount":"7.00"`},
			{200, `{"was":"TONER","name":"toner"}`, `"name":"toner"`},
			{200, `{"was":"toner","name":"Toner","amount":"8.00"}`, `"name":"Toner"`},
			{422, `{"name":"TONER","amount":"1","by":"by area"}`, "given twice"},
			{422, `{"was":"tea","name":"TONER"}`, "given twice"},
			{200, `{"name":"Postage","amount":"4.70","by":"by person"}`, `"name":"Postage"`},
			{200, `{"was":"Postage","amount":"4.80"}`, `"amount":"4.80"`},
		} {
			if status, said := c.post("/cost", step.body); status != step.status || !strings.Contains(said, step.says) {
				t.Errorf("%q, %s: %d %s", form.costs, step.body, status, said)
			}
		}
		c.says("/part/costs", `data-was="Toner"`, `data-was="Postage"`)
		if text, _ := os.ReadFile(file); string(text) != form.then {
			t.Errorf("%q became %q, not %q", form.costs, text, form.then)
		}
		for _, was := range []string{"POSTAGE", "Toner", "Tea"} {
			if status, said := c.post("/cost", `{"was":"`+was+`","remove":true}`); status != 200 {
				t.Errorf("%q, without %s: %d %s", form.costs, was, status, said)
			}
		}
	}
}

// TestCostRenamed: a cost that has a line is renamed on it, with its remark; where YAML takes the new name nowhere but elsewhere, on a line of its own.
func TestCostRenamed(t *testing.T) {
	for before, after := range map[string]string{
		"costs:\n  tea: 2\n  Ink: 1 # of Ann\n":       "costs:\n  tea: 2\n  \"Ink, black\": 1 by area # of Ann\n",
		"costs:\n  tea: 2\n  Ink, blue: 1 # of Ann\n": "costs:\n  tea: 2\n  \"Ink, black\": 1 by area # of Ann\n",
		"costs: Tea = 2; Ink = 1":                     "costs: {Tea: 2.00 by area, \"Ink, black\": 1 by area}",
	} {
		s, found := config.Load(config.Source{File: "tuckmark.yaml", Data: []byte(before)})
		if s == nil {
			t.Fatal(found)
		}
		got := ""
		for _, way := range costAmendments(s, 1, "Ink, black", "1 by area", false) {
			if out, err := config.Amend([]byte(before), way); err == nil {
				got = string(out)
				break
			}
		}
		if got != after {
			t.Errorf("%q became %q, not %q", before, got, after)
		}
	}
}

// TestCostInAnotherCurrency: a cost in another currency than the job's is refused with what to do, and another sign is none.
func TestCostInAnotherCurrency(t *testing.T) {
	folder := quickly(t)
	for name, text := range map[string]string{"tuckmark.yaml": "currency: €\n", "one.csv": "Name,Journaling,Width,Height\nAnn,Words,4,2\n"} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	c := enter(t, begin(t, folder, Options{printer: (&standIn{}).printer(), limits: unlimited}, "one.csv"))
	for amount, want := range map[string]int{"$4": 422, "USD 4": 422, "5 dollars": 422, "€4": 200, "EUR 4": 200, "+4": 200, "5 €": 200, "6 Euro": 200} {
		if status, said := c.post("/cost", fmt.Sprintf(`{"name":"cost %s","amount":%[1]q,"by":"by area"}`, amount)); status != want || want == 422 && !strings.Contains(said, "write what it comes to in €") {
			t.Errorf("%s: %d %s", amount, status, said)
		}
	}
}

// TestCostAddedAsTyped: a cost is what stood in its fields when it was added: what is typed after that, while it is sent, is the next one.
func TestCostAddedAsTyped(t *testing.T) {
	t.Parallel()
	r, b := madeInBrowser(t)
	goTo(t, r, b, "/share")
	b.JS(`{
		const form = document.querySelector("#costs form"), name = document.getElementById("more-name"), amount = document.getElementById("more-amount");
		name.value = "ink"; amount.value = "3.50"; form.requestSubmit();
		form.requestSubmit();
		name.value = "post"; amount.value = "4"; form.requestSubmit();
		amount.value = "42";
	}`)
	until(t, b, `document.getElementById("c1-amount")`)
	b.JS(`desk.flush().then(() => true)`)
	if got := chromium.Eval[string](b, `[0, 1, 2].map((n) => document.getElementById("c" + n + "-amount")?.value).join()`); got != "3.50,4.00," {
		t.Errorf("the costs are %s", got)
	}
}

// TestCostsTyped: a cost is added, changed, taken out and put back by hand; what is wrong is said at its line, and what was typed stays there.
func TestCostsTyped(t *testing.T) {
	t.Parallel()
	r, b := madeInBrowser(t)
	goTo(t, r, b, "/share")
	b.JS(`document.getElementById("more-name").focus()`)
	b.Do(chromedp.KeyEvent("postage"), chromedp.KeyEvent("\t"), chromedp.KeyEvent("much"), chromedp.KeyEvent("\r"))
	until(t, b, `document.querySelector("#costs form .at")?.textContent.includes("is not an amount") && document.getElementById("more-amount").getAttribute("aria-describedby") === "more-name-at"`)
	b.JS(`document.getElementById("more-amount").select()`)
	b.Do(chromedp.KeyEvent("$4.80"), chromedp.KeyEvent("\r"))
	until(t, b, `document.querySelector("#shared .sums thead").textContent.includes("postage") && document.activeElement.id === "more-name" && document.activeElement.value === ""`)
	b.Do(chromedp.KeyEvent("ink"), chromedp.KeyEvent("\t"), chromedp.KeyEvent("3.5"), chromedp.KeyEvent("\r"))
	until(t, b, `document.getElementById("c1-amount")?.value === "$3.50"`)
	b.JS(`{const e = document.getElementById("c0-by"); e.focus(); e.value = "by person"; e.dispatchEvent(new Event("change", {bubbles: true}));}`)
	until(t, b, `document.getElementById("shared").textContent.includes("ostage, $4.80, by person")`)
	b.JS(`{const e = document.getElementById("c1-name"); e.focus(); e.select();}`)
	b.Do(chromedp.KeyEvent("Ink and Glue"), chromedp.KeyEvent("\t"))
	until(t, b, `document.querySelector("#shared .sums thead").textContent.includes("Ink and Glue") && document.activeElement.id === "c1-amount"`)
	b.JS(`{window.field = document.activeElement; desk.tell("made");}`)
	until(t, b, `document.getElementById("c1-name").closest("li").dataset.was === "Ink and Glue"`)
	b.JS(`desk.flush().then(() => true)`)
	b.Do(chromedp.KeyEvent("7.77"), chromedp.KeyEvent("\t"))
	until(t, b, `document.getElementById("shared").textContent.includes("nk and Glue, $7.77") && window.field === document.getElementById("c1-amount") && !desk.unsent()`)
	if shot := shots(t, "costs"); shot != nil {
		shot(b, "share")
	}
	// What was refused stays refused in sight while other lines come, and who leaves is asked.
	b.JS(`{const e = document.getElementById("c0-amount"); e.focus(); e.select();}`)
	b.Do(chromedp.KeyEvent("4.80 + 2"), chromedp.KeyEvent("\t"))
	until(t, b, `document.querySelector("#costs [data-was] .at")?.textContent.includes("is not an amount") && document.getElementById("saved").classList.contains("stop")`)
	b.JS(`desk.send("/cost", {name: "tea", amount: "2", by: "by person"})`)
	until(t, b, `document.querySelectorAll("#costs [data-was]").length === 3`)
	b.JS(`desk.flush().then(() => true)`)
	if !chromium.Eval[bool](b, `document.getElementById("c0-amount").value === "4.80 + 2" && document.querySelector("#costs [data-was] .at")?.textContent.includes("is not an amount") && document.getElementById("c0-amount").getAttribute("aria-invalid") === "true" && desk.waits()`) {
		t.Error("a refused amount stands there as if it held")
	}
	b.JS(`{const e = document.getElementById("c0-amount"); e.focus(); e.select();}`)
	b.Do(chromedp.KeyEvent("$4.80"), chromedp.KeyEvent("\t"))
	until(t, b, `!document.querySelector("#costs [data-was] .at") && !desk.waits() && !document.getElementById("saved").classList.contains("stop")`)
	b.JS(`desk.send("/cost", {was: "tea", remove: true})`)
	until(t, b, `document.querySelectorAll("#costs [data-was]").length === 2`)
	b.JS(`desk.flush().then(() => true)`)
	b.JS(`{const e = document.querySelector("#costs [data-remove]"); e.focus(); e.click();}`)
	until(t, b, `!document.querySelector("#shared .sums thead").textContent.includes("postage") && document.activeElement.textContent === "Put postage back" && !desk.lately(document.activeElement)`)
	b.Do(chromedp.KeyEvent("\r"))
	until(t, b, `document.getElementById("shared").textContent.includes("ostage, $4.80, by person") && !document.querySelector("#costs-told button")`)
	for range 2 { // one after the other, and each can be put back
		b.JS(`document.querySelector("#costs [data-remove]").click()`)
		b.JS(`desk.flush().then(() => true)`)
	}
	until(t, b, `document.querySelectorAll("#costs [data-was]").length === 0 && document.querySelectorAll("#costs-told button").length === 2`)
	for left := range 2 {
		b.JS(`[...document.querySelectorAll("#costs-told button")].at(-1).click()`)
		until(t, b, fmt.Sprintf(`document.querySelectorAll("#costs [data-was]").length === %d && document.querySelectorAll("#costs-told button").length === %d`, left+1, 1-left))
	}
	until(t, b, `document.getElementById("shared").textContent.includes("ostage, $4.80, by person") && document.getElementById("shared").textContent.includes("nk and Glue, $7.77")`)
	// A page that goes while it waits for answers says what it has sent.
	b.JS(`{window.sent = []; desk.send = (path, what) => (sent.push(what), new Promise(() => {}));}`)
	b.JS(`{const e = document.getElementById("c0-name"); e.focus(); e.select();}`)
	b.Do(chromedp.KeyEvent("Tape"), chromedp.KeyEvent("\t"))
	until(t, b, `sent.length === 1`)
	b.JS(`{document.getElementById("c0-name").value = "String"; document.getElementById("c0-amount").value = "9"; dispatchEvent(new Event("pagehide"));}`)
	says := chromium.Eval[string](b, `JSON.stringify(sent[1])`)
	if want := `{"was":"ink and glue","name":"String","amount":"9","seen":{"name":["Tape"],"amount":["$7.77"],"by":["by area"]}}`; !strings.EqualFold(says, want) {
		t.Errorf("it says %s, not %s", says, want)
	}
	for _, path := range requestsElsewhere(b, r.host) {
		t.Errorf("the page asks for %s", path)
	}
}

// TestCostsOnceMore: where blocks were printed once more, both reports stay as they are, and the account goes by the costs of now all the same.
func TestCostsOnceMore(t *testing.T) {
	folder := quickly(t)
	if err := os.WriteFile(filepath.Join(folder, "crop.csv"), []byte("Name,Page,Journaling,Width,Height,Stock\nAnn Lo,4,We rowed out.,4,2,vellum\nBo Ek,6,Third,3,1,vellum\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	r := begin(t, folder, Options{printer: (&standIn{}).printer()}, "crop.csv")
	c := enter(t, r)
	for _, do := range [][2]string{{"/print/make", "{}"}, {"/print/again", `{"codes":["AL-1"]}`}, {"/cost", `{"name":"ink","amount":"3","by":"by person"}`}} {
		if status, said := c.post(do[0], do[1]); status != 200 {
			t.Fatal(do, status, said)
		}
	}
	if text := c.says("/share", "Ink, 3.00, by person", ">1.50<", "The guides and the report still have the costs"); strings.Contains(text, "made anew") && !strings.Contains(c.page("/print"), "data-make") {
		t.Error("it is told to make the PDF anew, and nothing does that")
	}
	if err := r.end(); err != nil {
		t.Fatal(err)
	}
	c = enter(t, begin(t, folder, Options{printer: (&standIn{}).printer()}, "crop-desk.xlsx"))
	c.says("/share", "Ink, 3.00, by person", ">1.50<", "The guides and the report still have the costs")
}

// TestCostsAtOnce: costs that are typed one soon after the other, in one page or in two, are all kept, whatever each page was shown before.
func TestCostsAtOnce(t *testing.T) {
	longtests.Only(t)
	folder := quickly(t)
	r := begin(t, folder, Options{printer: (&standIn{}).printer(), limits: unlimited}, "retreat.xlsx")
	c := enter(t, r)
	if status, said := c.post("/print/make", "{}"); status != 200 {
		t.Fatal(status, said)
	}
	names := []string{"ink", "postage", "tea", "tape", "glue"}
	var all sync.WaitGroup
	for i, name := range names {
		all.Go(func() {
			if got := c.do("POST", "/cost", fmt.Sprintf(`{"name":%q,"amount":"%d","by":"by area"}`, name, i+1), nil).StatusCode; got != 200 {
				t.Errorf("%s is answered with %d", name, got)
			}
		})
	}
	all.Wait()
	for _, change := range []string{`{"was":"ink","amount":"7"}`, `{"was":"ink","by":"by person"}`, `{"was":"ink","name":"inks"}`} { // by pages that know nothing of one another
		if status, said := c.post("/cost", change); status != 200 {
			t.Errorf("%s: %d %s", change, status, said)
		}
	}
	text, _ := os.ReadFile(filepath.Join(folder, "tuckmark.yaml"))
	for _, want := range append(names[1:], "inks: 7.00 by person") {
		if !strings.Contains(string(text), want) {
			t.Errorf("%q is not kept: %s", want, text)
		}
	}
	c.says("/print", "Made of the job as it stands")
}

// TestLeavingAsks: who leaves a page on which something is typed that waits for a press, or that does not arrive, is asked by the browser and can stay.
func TestLeavingAsks(t *testing.T) {
	r, b := oneBlock(t, "")
	for i, c := range []struct{ path, field, away string }{{"/share", "#more-name", ""}, {"/paper", "#machines-list input", `window.fetch = () => Promise.reject(new TypeError("cut"))`}} {
		goTo(t, r, b, c.path)
		until(t, b, fmt.Sprintf(`document.querySelector(%q)`, c.field))
		if c.away != "" {
			b.JS(c.away)
		}
		b.JS(fmt.Sprintf(`document.querySelector(%q).focus()`, c.field))
		b.Do(chromedp.KeyEvent("7"))
		b.Do(chromedp.KeyEvent("\t"))
		if c.away != "" {
			b.JS(`desk.say("not saved: the desk does not answer", true)`) // as it is said where a sending fails
		}
		b.JS(`setTimeout(() => location.reload())`)
		for range 100 {
			if _, dialogs := b.Requests(); dialogs > i {
				break
			}
			time.Sleep(20 * time.Millisecond)
		}
		if _, dialogs := b.Requests(); dialogs != i+1 {
			t.Errorf("%s: the browser has asked %d times", c.path, dialogs)
		}
		if got := chromium.Eval[string](b, fmt.Sprintf(`document.querySelector(%q).value`, c.field)); !strings.Contains(got, "7") {
			t.Errorf("%s: the field has %q", c.path, got)
		}
		b.JS(`desk.waits = desk.unsent = () => false`)
	}
}
