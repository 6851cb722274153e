/* Faults that strace cannot make, for the tests alone: a write that stops in the middle, and a clock that is set back.
 *
 * strace can only pretend that a write was short: the bytes it reports were never written. This really writes them.
 *
 * FAULT_UNDER=FOLDER          which files are meant
 * FAULT_WRITE=N:BYTES:AFTER   the N-th write to them writes BYTES (negative: so many less than asked), and after that
 *                             `goes-on`: the rest is taken; `full`: no more is taken, ever; `kill`: the program is killed
 * FAULT_CLOCK=N:SECONDS       from the N-th look at the time of day on, the clock is so many seconds further
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <signal.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

static atomic_long writes, looks;
static atomic_int full;

static int is_meant(int fd) {
    const char *under = getenv("FAULT_UNDER");
    char link[64], path[4096];
    if (!under)
        return 0;
    snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
    ssize_t length = readlink(link, path, sizeof path - 1);
    if (length < 0)
        return 0;
    path[length] = 0;
    return strncmp(path, under, strlen(under)) == 0;
}

ssize_t write(int fd, const void *bytes, size_t count) {
    static ssize_t (*real)(int, const void *, size_t);
    if (!real)
        real = (ssize_t (*)(int, const void *, size_t))dlsym(RTLD_NEXT, "write");
    const char *fault = getenv("FAULT_WRITE");
    long at, some;
    char after[16];
    if (!fault || !is_meant(fd) || sscanf(fault, "%ld:%ld:%15s", &at, &some, after) != 3)
        return real(fd, bytes, count);
    if (full) {
        errno = ENOSPC;
        return -1;
    }
    if (++writes != at)
        return real(fd, bytes, count);
    size_t part = some >= 0 ? (size_t)some : (size_t)-some < count ? count - (size_t)-some : 0;
    if (part > count)
        part = count;
    ssize_t written = part > 0 ? real(fd, bytes, part) : 0;
    fprintf(stderr, "shim: %zd of %zu bytes\n", written, count);
    if (strcmp(after, "kill") == 0)
        raise(SIGKILL);
    if (strcmp(after, "full") == 0)
        full = 1;
    if (part == 0) {
        errno = strcmp(after, "full") == 0 ? ENOSPC : EINTR;
        return -1;
    }
    return written;
}

int clock_gettime(clockid_t clock, struct timespec *time) {
    static int (*real)(clockid_t, struct timespec *);
    if (!real)
        real = (int (*)(clockid_t, struct timespec *))dlsym(RTLD_NEXT, "clock_gettime");
    int result = real(clock, time);
    const char *fault = getenv("FAULT_CLOCK");
    long at, seconds;
    if (result == 0 && clock == CLOCK_REALTIME && fault && sscanf(fault, "%ld:%ld", &at, &seconds) == 2 && ++looks >= at)
        time->tv_sec += seconds;
    return result;
}
