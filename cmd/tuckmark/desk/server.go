package desk

import (
	"errors"
	"net/http"
	"path/filepath"
	"strings"

	"tuckmark/cmd/internal/jobbook"
	"tuckmark/config/problem"
)

// routes are all ways into the desk.
func (s *server) routes() map[string]route {
	out := map[string]route{
		"GET /enter":        {serve: s.enterPage, open: true},
		"POST /enter":       {serve: s.enter, open: true, most: 1 << 10, rate: "enter"},
		"POST /again":       {serve: s.again, open: true, most: 1 << 10, rate: "enter"},
		"GET /look.css":     {serve: asset("look.css"), open: true},
		"GET /enter.js":     {serve: asset("enter.js"), open: true},
		"GET /mark.svg":     {serve: asset("mark.svg"), open: true},
		"GET /events":       {serve: s.hub.listen},
		"GET /now":          {serve: s.hub.now},
		"GET /":             {serve: s.front},
		"GET /start":        {serve: s.startPage},
		"POST /start/new":   {serve: s.startNew},
		"POST /start/open":  {serve: s.startOpen},
		"POST /start/drop":  {serve: s.startDrop, most: mostDropped},
		"POST /start/paste": {serve: s.startPaste, most: mostPasted},
		"POST /quit":        {serve: s.quit},
	}
	for _, name := range []string{"listen.js", "desk.js", "take.js", "start.js", "journaling.js", "paper.js", "sheets.js", "print.js", "cutting.js", "share.js", "reprint.js"} {
		out["GET /"+name] = route{serve: asset(name)}
	}
	for key, to := range map[string]struct {
		serve func(*openJob, http.ResponseWriter, *http.Request)
		most  int64
	}{
		"GET /journaling":     {serve: s.journalingPage},
		"GET /part/blocks":    {serve: s.blocksPart},
		"GET /part/people":    {serve: s.peoplePart},
		"GET /part/states":    {serve: s.statesPart},
		"GET /part/questions": {serve: s.questionsPart},
		"GET /block/*":        {serve: s.blockPicture},
		"GET /trial/*":        {serve: s.trialPicture},
		"POST /try":           {serve: s.try},
		"POST /change":        {serve: s.change, most: mostChanged},
		"POST /add":           {serve: s.add},
		"POST /remove":        {serve: s.remove},
		"POST /move":          {serve: s.move},
		"POST /undo":          {serve: s.undo},
		"POST /redo":          {serve: s.redo},
		"POST /return":        {serve: s.returnTo},
		"POST /answer":        {serve: s.answerQuestion},
		"POST /take/drop":     {serve: s.takeDrop, most: mostDropped},
		"POST /take/paste":    {serve: s.takePaste, most: mostPasted},
		"GET /paper":          {serve: s.paperPage},
		"GET /part/paper":     {serve: s.paperPart},
		"POST /heading":       {serve: s.heading},
		"POST /machine":       {serve: s.machine},
		"GET /part/machines":  {serve: s.machinesPart},
		"GET /sheets":         {serve: s.sheetsPage},
		"GET /part/sheets":    {serve: s.sheetsPart},
		"GET /part/hand":      {serve: s.handPart},
		"POST /sheets/press":  {serve: s.pressWay},
		"POST /sheets/back":   {serve: s.takeBack},
		"POST /sheets/hold":   {serve: s.hold},
		"POST /sheets/keep":   {serve: s.keep},
		"POST /sheets/try":    {serve: s.trySheets},
		"POST /sheets/tried":  {serve: s.triedEnd},
		"GET /stock/*":        {serve: s.stockPicture},
		"GET /piece/*":        {serve: s.piecePicture},
		"GET /print":          {serve: s.printPage},
		"GET /part/prints":    {serve: s.printsPart},
		"GET /part/session":   {serve: s.sessionPart},
		"GET /part/printing":  {serve: s.printsNowPart},
		"GET /cutting":        {serve: s.cuttingPage},
		"GET /part/cuts":      {serve: s.cutsPart},
		"GET /part/cuts-done": {serve: s.cutsDonePart},
		"POST /cutting/done":  {serve: s.cutsKeep, most: mostDropped}, // and no more than its pieces come to,
		"GET /reprint":        {serve: s.reprintPage},
		"POST /print/again":   {serve: s.printAgain},
		"POST /print/settled": {serve: s.printSettled},
		"GET /share":          {serve: s.sharePage},
		"GET /part/shared":    {serve: s.sharedPart},
		"GET /part/costs":     {serve: s.costsPart},
		"POST /cost":          {serve: s.cost},
		"GET /download/*":     {serve: s.download},
		"POST /print/make":    {serve: s.makeFiles},
		"POST /print/start":   {serve: s.printStart},
		"POST /print/answer":  {serve: s.printAnswer},
		"POST /print/stop":    {serve: s.printStop},
	} {
		out[key] = route{most: to.most, serve: func(w http.ResponseWriter, r *http.Request) {
			j := s.current()
			of := r.Header.Get(jobHeader)
			switch {
			case j != nil && of != "" && of != j.key:
				refuse(w, http.StatusPreconditionFailed, errOtherJob)
			case j != nil:
				to.serve(j, w, r)
			case strings.HasPrefix(key, "GET /part"), r.Method == http.MethodPost:
				refuse(w, http.StatusConflict, errNoJob)
			default:
				http.Redirect(w, r, "/start", http.StatusSeeOther)
			}
		}}
	}
	return out
}

// jobHeader is what a page says with its requests: which job it shows.
const jobHeader = "Tuckmark-Job"

// jobKey is what the pages of a job name it by: the same however its workbook is called from where the desk was started, so that a page goes on when
// the job is opened again.
func jobKey(path string) string {
	if whole, err := filepath.Abs(path); err == nil {
		path = whole
	}
	folder, name := filepath.Split(path)
	if real, err := filepath.EvalSymlinks(folder); err == nil {
		folder = real
	}
	return shortKey(filepath.Join(folder, name))
}

var (
	errNoJob    = errors.New("no job is open; go back to the start")
	errOtherJob = errors.New("another job was opened at the desk; what this page shows is kept as it was. Open its job again, or load this page anew")
)

// enterPage is the page that trades the secret for a cookie.
func (s *server) enterPage(w http.ResponseWriter, _ *http.Request) { page(w, "enter", nil) }

// enter takes a secret and gives the cookie for it.
func (s *server) enter(w http.ResponseWriter, r *http.Request) {
	var in struct{ Secret string }
	if !read(w, r, &in) {
		return
	}
	session, ok := s.guard.spend(in.Secret)
	if !ok {
		refuse(w, http.StatusForbidden, errEnter)
		return
	}
	http.SetCookie(w, &http.Cookie{Name: s.guard.cookie, Value: session, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode})
	s.tidy()
	answer(w, struct{}{})
}

// again gives a second start of the same job, which shows the key of the lock, a new secret.
func (s *server) again(w http.ResponseWriter, r *http.Request) {
	if index([]string{s.guard.key}, r.Header.Get(keyHeader)) < 0 {
		refuse(w, http.StatusForbidden, errEnter)
		return
	}
	answer(w, struct{ Secret string }{s.guard.newSecret()})
}

// front leads to the job, or to the start where there is none.
func (s *server) front(w http.ResponseWriter, r *http.Request) {
	to := "/start"
	if s.current() != nil {
		to = parts[0].Path
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
}

func (s *server) quit(w http.ResponseWriter, _ *http.Request) {
	if j := s.current(); j != nil && j.printing.busy() {
		fail(w, http.StatusConflict, errPrinting, nil)
		return
	} else if s.taking.Load() > 0 {
		fail(w, http.StatusConflict, &problem.Problem{What: "a file is still being taken over", Hint: "wait until it is, then press Quit again"}, nil)
		return
	} else if j != nil {
		if err := j.book.Settle(); err != nil { // the page stays, and with it what there is to do
			fail(w, http.StatusInsufficientStorage, err, nil)
			return
		}
	}
	answer(w, struct{}{})
	s.stop()
}

// notOnDisk reports whether what was done stands in the job, and the disk alone has it not, which the job's pages say.
func notOnDisk(err error) bool {
	var p *problem.Problem
	return errors.As(err, &p) && p.Disk
}

// did answers with what became of a change.
func did(j *openJob, w http.ResponseWriter, rev jobbook.Revision, err error, found ...problem.Problem) {
	if err != nil {
		status := http.StatusConflict
		if notOnDisk(err) { // the page keeps what was typed, and sends it again
			status = http.StatusInsufficientStorage
		}
		fail(w, status, err, nil)
		return
	}
	j.layer.change()
	said := map[string]any{"revision": rev}
	if len(found) > 0 {
		said["problems"] = findingsOf(found)
	}
	answer(w, said)
}
