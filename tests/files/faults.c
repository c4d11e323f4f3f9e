/* Preloaded into the program by tests: counts the calls that change something below FAULT_UNDER, and at the call FAULT_AT (with
   FAULT_ON: from it on) lets it fail with the error FAULT_ERROR, sends the signal FAULT_SIGNAL to the program before it, or writes
   a file FAULT_FILE where none stands. FAULT_ONLY takes calls of one name alone. At the end the number of calls goes to
   FAULT_COUNT. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdarg.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <unistd.h>

static atomic_int calls;

static int number(const char *name) {
    const char *text = getenv(name);
    return text ? atoi(text) : 0;
}

/* Whether the call fails. */
static int fault(const char *name, const char *path) {
    const char *under = getenv("FAULT_UNDER"), *only = getenv("FAULT_ONLY"), *file = getenv("FAULT_FILE");
    if (!under || !path || !strstr(path, under) || (only && strcmp(only, name)))
        return 0;
    int call = ++calls, at = number("FAULT_AT");
    if (!at || (call != at && !(getenv("FAULT_ON") && call > at)))
        return 0;
    if (number("FAULT_SIGNAL")) {
        kill(getpid(), number("FAULT_SIGNAL"));
        usleep(2000);
    }
    if (file) {
        int made = syscall(SYS_openat, AT_FDCWD, file, O_WRONLY | O_CREAT | O_EXCL, 0644);
        if (made >= 0) {
            syscall(SYS_write, made, "mine", 4);
            syscall(SYS_close, made);
        }
    }
    if (!number("FAULT_ERROR"))
        return 0;
    errno = number("FAULT_ERROR");
    return 1;
}

static int fault_open(const char *name, int fd) {
    char link[64], path[4096];
    snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
    ssize_t length = readlink(link, path, sizeof path - 1);
    if (length < 0)
        return 0;
    path[length] = 0;
    return fault(name, path);
}

#define REAL(type, name, ...) ((type(*)(__VA_ARGS__))dlsym(RTLD_NEXT, #name))

int open64(const char *path, int flags, ...) {
    va_list more;
    va_start(more, flags);
    int mode = flags & (O_CREAT | O_TMPFILE) ? va_arg(more, int) : 0;
    va_end(more);
    if ((flags & (O_CREAT | O_TMPFILE)) && fault("open", path))
        return -1;
    return REAL(int, open64, const char *, int, ...)(path, flags, mode);
}

ssize_t write(int fd, const void *bytes, size_t count) {
    return fd > 2 && fault_open("write", fd) ? -1 : REAL(ssize_t, write, int, const void *, size_t)(fd, bytes, count);
}

int fsync(int fd) { return fault_open("fsync", fd) ? -1 : REAL(int, fsync, int)(fd); }

int flock(int fd, int operation) { return fault_open("flock", fd) ? -1 : REAL(int, flock, int, int)(fd, operation); }

int rename(const char *from, const char *to) {
    return fault("rename", to) ? -1 : REAL(int, rename, const char *, const char *)(from, to);
}

int link(const char *from, const char *to) {
    return fault("link", to) ? -1 : REAL(int, link, const char *, const char *)(from, to);
}

int linkat(int from_fd, const char *from, int to_fd, const char *to, int flags) {
    return fault("link", to) ? -1
                             : REAL(int, linkat, int, const char *, int, const char *, int)(from_fd, from, to_fd, to, flags);
}

int unlink(const char *path) { return fault("unlink", path) ? -1 : REAL(int, unlink, const char *)(path); }

int rmdir(const char *path) { return fault("rmdir", path) ? -1 : REAL(int, rmdir, const char *)(path); }

int mkdir(const char *path, mode_t mode) { return fault("mkdir", path) ? -1 : REAL(int, mkdir, const char *, mode_t)(path, mode); }

__attribute__((destructor)) static void told(void) {
    const char *path = getenv("FAULT_COUNT");
    if (!path)
        return;
    FILE *file = fopen(path, "w");
    if (file) {
        fprintf(file, "%d", calls);
        fclose(file);
    }
}
