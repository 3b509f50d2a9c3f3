//go:build slurm

package main

import (
	"errors"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"
)

// The tests here need root and Debian's slurm-wlm, munge and parallel:
//
//	go test -tags slurm ./cmd/pipelag -run Slurm
//
// testdata/slurm starts a cluster of three virtual nodes on this machine.

const tinyCases = `name: Tiny study
scenario: tiny.yaml
sampling: halton
samples: %d
replicates: %d
factors:
  length: {path: ['layouts[wide].pipes[1].length', 'layouts[narrow].pipes[1].length'], from: 2 m, to: 8 m}
  setpoint: {path: heater.setpoint, from: 50 C, to: 60 C}
`

// site is a folder with the program, a study and the scripts, open to all users.
type site struct {
	*testing.T
	path string
	env  []string
}

func newSite(t *testing.T) *site {
	t.Helper()
	path, err := os.MkdirTemp("", "pl") // sockets in it have short paths
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(path) })
	s := &site{t, path, append(os.Environ(), "PATH="+path+":/usr/sbin:"+os.Getenv("PATH"))}
	if err := os.Chmod(path, 0o755); err != nil {
		t.Fatal(err)
	}
	s.must("go", "build", "-o", filepath.Join(path, "pipelag"), ".")
	s.must("cp", tinyHouse, path)
	return s
}

func (s *site) write(name, text string) {
	s.Helper()
	if err := os.WriteFile(filepath.Join(s.path, name), []byte(text), 0o644); err != nil {
		s.Fatal(err)
	}
}

// run runs a command where the test stands and gives its output and exit code.
func (s *site) run(name string, args ...string) (string, int) {
	s.Helper()
	c := exec.Command(name, args...)
	c.Env = s.env
	if filepath.Base(name) == name {
		for _, folder := range strings.Split(strings.TrimPrefix(s.env[len(s.env)-1], "PATH="), ":") {
			if _, err := os.Stat(filepath.Join(folder, name)); err == nil {
				c.Path, c.Err = filepath.Join(folder, name), nil
				break
			}
		}
	}
	out, err := c.CombinedOutput()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		s.Fatalf("%s %v: %v", name, args, err)
	}
	return string(out), c.ProcessState.ExitCode()
}

func (s *site) must(name string, args ...string) string {
	s.Helper()
	out, code := s.run(name, args...)
	if code != 0 {
		s.Fatalf("%s %v: exit code %d\n%s", name, args, code, out)
	}
	return strings.TrimSpace(out)
}

// until waits for something to come true.
func (s *site) until(what string, within time.Duration, is func() bool) {
	s.Helper()
	for late := time.After(within); !is(); time.Sleep(200 * time.Millisecond) {
		select {
		case <-late:
			queue, _ := s.run("squeue")
			s.Fatalf("not within %v: %s\n%s", within, what, queue)
		default:
		}
	}
}

// files are those below a folder with their bytes.
func (s *site) files(folder string) map[string]string {
	s.Helper()
	files, err := folderBytes(filepath.Join(s.path, folder))
	if err != nil {
		s.Fatal(err)
	}
	return files
}

// study writes a study of so many cases and replicates.
func (s *site) study(cases, replicates int) string {
	s.Helper()
	s.write("study.yaml", fmt.Sprintf(tinyCases, cases, replicates))
	return filepath.Join(s.path, "study.yaml")
}

// lasting writes a study of so many cases, each of which takes one core at least
// so long, however fast the program is: one case is tried with ever more replicates,
// by the time of the processor, which others on the machine do not add to.
func (s *site) lasting(cases int, each time.Duration) string {
	s.Helper()
	for replicates := 16; ; replicates *= 2 {
		study := s.study(cases, replicates)
		before := spentByChildren(s)
		s.must("pipelag", "study", study, "--limit", "1", "--workers", "1", "--out", filepath.Join(s.path, fmt.Sprint("tried", replicates)))
		if spentByChildren(s)-before >= each {
			return study
		}
	}
}

// spentByChildren is the time that processes which have ended had of processors.
func spentByChildren(t testing.TB) time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_CHILDREN, &u); err != nil {
		t.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// TestSlurm runs a study as an array of eight, of which one task is requeued
// while it runs, one node is killed and two tasks are cancelled; sends only the
// missing shards again; and holds the merged folder against the unsharded one.
func TestSlurm(t *testing.T) {
	const perShard = 4 // pieces
	s := newSite(t)
	// Slurm may begin its tasks some seconds apart; the first is to last until the sixth runs.
	study := s.lasting(8*perShard, 5*time.Second/2)
	cluster := filepath.Join(s.path, "c")
	s.must("testdata/slurm/start.sh", cluster, "3", "2")
	t.Cleanup(func() { s.run("testdata/slurm/stop.sh", cluster) })
	s.env = append(s.env[:len(s.env)-1], "SLURM_CONF="+filepath.Join(cluster, "etc", "slurm.conf"), s.env[len(s.env)-1])
	parts := filepath.Join(s.path, "parts")
	submit := func(array string) string {
		id := s.must("sbatch", "--parsable", "--chdir", s.path, "--export=ALL,STUDY="+study+",PARTS="+parts+",SHARDS=8", "--array="+array, "../../scenarios/cluster/slurm.sbatch")
		if !regexp.MustCompile(`^\d+$`).MatchString(id) {
			t.Fatalf("submitted as %q", id)
		}
		return id
	}
	tasks := func(format string, states ...string) []string {
		return strings.Fields(s.must("squeue", "-h", "-r", "-o", format, "-t", strings.Join(states, ",")))
	}
	restarts := func(task string) string {
		m := regexp.MustCompile(`Restarts=(\d+)`).FindStringSubmatch(s.must("scontrol", "show", "job", task))
		if m == nil {
			t.Fatalf("no restarts of %s", task)
		}
		return m[1]
	}

	running := func(node string) []string {
		return strings.Fields(s.must("squeue", "-h", "-r", "-o", "%K", "-t", "R", "-w", node))
	}
	pieces := func(shard string) int {
		found, _ := filepath.Glob(filepath.Join(parts, "shard-"+shard+"-of-8", "pieces", "0*.gz"))
		return len(found)
	}

	id := submit("1-8")
	// There is room for six tasks: 7 and 8 are cancelled before they begin, so that
	// their shards are missing.
	s.must("scancel", id+"_7", id+"_8")
	var others, dying []string
	s.until("six tasks run and have a piece each", 2*time.Minute, func() bool {
		others, dying = running("sim[1-2]"), running("sim3")
		return len(others) == 4 && len(dying) == 2 && !slices.ContainsFunc(append(dying, others...), func(task string) bool { return pieces(task) == 0 })
	})
	// A node dies and a task on another is requeued, all while they run. None of them
	// is being launched: such a one is held for somebody to look at.
	requeued := others[0]
	s.must("testdata/slurm/kill-node.sh", cluster, "sim3")
	s.must("scontrol", "requeue", id+"_"+requeued)
	cut := append(dying, requeued)
	for _, task := range cut {
		if n := pieces(task); n >= perShard {
			t.Fatalf("task %s had made all %d pieces before it was ended", task, n)
		}
	}
	s.until("the array ends", 6*time.Minute, func() bool { return len(tasks("%K", "PD", "R", "CG", "S")) == 0 })
	for _, task := range cut {
		if restarts(id+"_"+task) == "0" {
			done, _ := os.ReadFile(filepath.Join(cluster, "log", "jobcomp.txt"))
			t.Errorf("task %s did not run again:\n%s", task, done)
		}
	}

	// What is missing is named, and only that is sent again.
	out, code := s.run("pipelag", "study", "merge", parts, "--out", filepath.Join(s.path, "merged"))
	var missing []string
	for _, m := range regexp.MustCompile(`shard (\d)/8 is missing`).FindAllStringSubmatch(out, -1) {
		missing = append(missing, m[1])
	}
	if code != codeWrong || !slices.Equal(missing, []string{"7", "8"}) || strings.Count(out, "\n") != 2 {
		t.Fatalf("exit code %d\n%s", code, out)
	}
	submit(strings.Join(missing, ","))
	s.until("the rest ends", 3*time.Minute, func() bool { return len(tasks("%K", "PD", "R", "CG")) == 0 })
	merged := s.must("pipelag", "study", "merge", parts, "--out", filepath.Join(s.path, "merged"), "-q")
	whole := s.must("pipelag", "study", study, "--out", filepath.Join(s.path, "whole"), "-q")
	if merged != whole {
		t.Error("the merged study tells another summary")
	}
	if a, b := s.files("merged"), s.files("whole"); !maps.Equal(a, b) || len(a) < 16 {
		t.Errorf("%d files merged, %d made whole, not the same bytes", len(a), len(b))
	}
}

// TestSlurmParallel runs the same script for GNU parallel twice over.
func TestSlurmParallel(t *testing.T) {
	s := newSite(t)
	study := s.study(16, 2)
	for range 2 { // the second time everything is there
		s.must("../../scenarios/cluster/parallel.sh", study, filepath.Join(s.path, "parts"), "5")
	}
	s.must("pipelag", "study", "merge", filepath.Join(s.path, "parts"), "--out", filepath.Join(s.path, "merged"))
	s.must("pipelag", "study", study, "--out", filepath.Join(s.path, "whole"))
	if !maps.Equal(s.files("merged"), s.files("whole")) {
		t.Error("not the same bytes")
	}
}

// TestSlurmFullDisk: a disk that fills up ends a study, or a merge of its shards,
// with its cause and exit code 3; what was finished is whole, and with room it
// ends as if nothing had been.
func TestSlurmFullDisk(t *testing.T) {
	s := newSite(t)
	study := s.study(40, 2)
	s.must("pipelag", "study", study, "--out", filepath.Join(s.path, "whole"))
	whole := s.files("whole")
	parts := filepath.Join(s.path, "parts")
	for _, shard := range []string{"1/2", "2/2"} {
		s.must("pipelag", "study", study, "--out", parts, "--shard", shard)
	}
	for name, c := range map[string]struct {
		full    string // what the disk has room for
		command []string
		says    string
	}{
		"study":         {"size=128k", []string{study}, "what was finished is in %s: mend this and give the same command again"},
		"no folder":     {"nr_inodes=1", []string{study}, "pipelag: --out: mkdir %s: "},
		"merge":         {"size=128k", []string{"merge", parts}, "the shards are as they were: mend this and give the same command again"},
		"merged tables": {"size=200k", []string{"merge", parts}, "the runs are whole in %s: mend this and give the same command again"},
	} {
		t.Run(name, func(t *testing.T) {
			disk := filepath.Join(s.path, name)
			if err := os.Mkdir(disk, 0o755); err != nil {
				t.Fatal(err)
			}
			if err := syscall.Mount("tmpfs", disk, "tmpfs", 0, c.full); err != nil {
				t.Fatal(err)
			}
			t.Cleanup(func() { syscall.Unmount(disk, 0) })
			results := filepath.Join(disk, "res")
			command := append(append([]string{"study"}, c.command...), "--out", results)
			out, code := s.run("pipelag", command...)
			if says := strings.ReplaceAll(c.says, "%s", results); code != codeFailed || !strings.Contains(out, "no space left on device") || !strings.Contains(out, says) {
				t.Fatalf("exit code %d, want %q in\n%s", code, says, out)
			}
			if err := syscall.Mount("tmpfs", disk, "tmpfs", syscall.MS_REMOUNT, "size=8m,nr_inodes=1k"); err != nil {
				t.Fatal(err)
			}
			s.must("pipelag", command...)
			if !maps.Equal(s.files(filepath.Join(name, "res")), whole) {
				t.Error("not the same bytes")
			}
		})
	}
}
