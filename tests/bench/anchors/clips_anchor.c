/* CLIPS through its C interface on the workloads of the rule benchmark.
   build: cc -O2 clips_anchor.c -o clips_anchor -lclips -lm
   run:   clips_anchor diagnosis RULES.clp SESSIONS ROUNDS
          clips_anchor closure GRAPH ROUNDS
   Facts are built through the interface with their symbols made beforehand, so no text is parsed
   while the clock runs. One session: assert 20, run, retract 1, run; (reset) is timed apart. */
#include <clips/clips.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static double now(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec * 1e6 + (double)t.tv_nsec * 1e-3;
}

static int by_size(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return x < y ? -1 : x > y;
}

static void report(const char *what, double *v, int n) {
    qsort(v, (size_t)n, sizeof *v, by_size);
    printf("%s %.3f %.3f\n", what, v[n / 2], v[(int)(n * 0.99)]);
}

static long resident(void) {
    long all = 0, here = 0;
    FILE *f = fopen("/proc/self/statm", "r");
    if (f) {
        if (fscanf(f, "%ld %ld", &all, &here) != 2) here = 0;
        fclose(f);
    }
    return here * 4;
}

static int facts(void *env) {
    int n = 0;
    void *f = NULL;
    while ((f = EnvGetNextFact(env, f)) != NULL) n++;
    return n;
}

static void *pair(void *env, void *template, const char *a, int a_type, void *a_value, const char *v,
                  int v_type, void *v_value) {
    DATA_OBJECT o;
    void *fact = EnvCreateFact(env, template);
    o.type = (unsigned short)a_type;
    o.value = a_value;
    EnvPutFactSlot(env, fact, a, &o);
    o.type = (unsigned short)v_type;
    o.value = v_value;
    EnvPutFactSlot(env, fact, v, &o);
    return EnvAssert(env, fact);
}

static int diagnosis(const char *rules, const char *path, int rounds) {
    void *env = CreateEnvironment();
    long before = resident();
    double t = now();
    if (EnvLoad(env, rules) != 1) return 1;
    printf("load_us %.1f 0\nmemory_kb %ld 0\n", now() - t, resident() - before);
    FILE *f = fopen(path, "r");
    int sessions;
    if (!f || fscanf(f, "%d", &sessions) != 1) return 1;
    size_t all = (size_t)sessions * (size_t)rounds;
    double *whole = malloc(all * sizeof *whole), *took = malloc(all * sizeof *took),
           *reset = malloc(all * sizeof *reset);
    void *template = EnvFindDeftemplate(env, "av");
    int wrong = 0, at = 0;
    long start = ftell(f);
    for (int round = 0; round < rounds; round++) {
        fseek(f, start, SEEK_SET);
        for (int s = 0; s < sessions; s++, at++) {
            int n, back, first, second;
            if (fscanf(f, "%d %d %d %d", &n, &back, &first, &second) != 4) return 1;
            void *names[64], *numbers[64], *told = NULL;
            char name[64];
            double value;
            for (int i = 0; i < n; i++) {
                if (fscanf(f, "%63s %lf", name, &value) != 2) return 1;
                names[i] = EnvAddSymbol(env, name);
                IncrementSymbolCount(names[i]);
                numbers[i] = EnvAddDouble(env, value);
                IncrementFloatCount(numbers[i]);
            }
            double a = now();
            EnvReset(env);
            double b = now();
            int base = facts(env);
            double c = now();
            for (int i = 0; i < n; i++) {
                void *fact = pair(env, template, "a", SYMBOL, names[i], "v", FLOAT, numbers[i]);
                if (i == back) told = fact;
            }
            EnvRun(env, -1);
            double d = now();
            int m1 = facts(env) - base - n;
            double e = now();
            EnvRetract(env, told);
            EnvRun(env, -1);
            double g = now();
            int m2 = facts(env) - base - n + 1;
            if (m1 != first || m2 != second) wrong++;
            reset[at] = b - a;
            took[at] = g - e;
            whole[at] = (d - c) + (g - e);
        }
    }
    report("session_us", whole, at);
    report("retract_us", took, at);
    report("reset_us", reset, at);
    printf("wrong %d 0\n", wrong);
    return 0;
}

static int closure(const char *path, int rounds) {
    void *env = CreateEnvironment();
    const char *program[] = {
        "(deftemplate edge (slot u) (slot v))", "(deftemplate path (slot u) (slot v))",
        "(defrule base (logical (edge (u ?x) (v ?y))) => (assert (path (u ?x) (v ?y))))",
        "(defrule step (logical (path (u ?x) (v ?y)) (edge (u ?y) (v ?z)))"
        " => (assert (path (u ?x) (v ?z))))"};
    for (int i = 0; i < 4; i++) EnvBuild(env, program[i]);
    FILE *f = fopen(path, "r");
    int nodes, edges, size;
    if (!f || fscanf(f, "%d %d %d", &nodes, &edges, &size) != 3) return 1;
    int *u = malloc((size_t)edges * sizeof *u), *v = malloc((size_t)edges * sizeof *v), wrong = 0;
    for (int i = 0; i < edges; i++)
        if (fscanf(f, "%d %d", &u[i], &v[i]) != 2) return 1;
    double times[64];
    for (int r = 0; r < rounds && r < 64; r++) {
        EnvReset(env);
        int base = facts(env);
        void *template = EnvFindDeftemplate(env, "edge");
        double t = now();
        for (int i = 0; i < edges; i++)
            pair(env, template, "u", INTEGER, EnvAddLong(env, u[i]), "v", INTEGER,
                 EnvAddLong(env, v[i]));
        EnvRun(env, -1);
        times[r] = now() - t;
        if (facts(env) - base - edges != size) wrong++;
    }
    report("closure_us", times, rounds);
    printf("wrong %d 0\n", wrong);
    return 0;
}

int main(int argc, char **argv) {
    if (argc > 4 && strcmp(argv[1], "diagnosis") == 0)
        return diagnosis(argv[2], argv[3], atoi(argv[4]));
    if (argc > 3 && strcmp(argv[1], "closure") == 0) return closure(argv[2], atoi(argv[3]));
    return 2;
}
