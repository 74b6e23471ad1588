// Starts the program that was compiled for the processor at hand. A program compiled ahead of time fixes the width of its vectors when it
// is compiled: one that has 256 bits ends on a processor without them, one that runs everywhere has 128. So there is one of each, and this.
#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#define PROGRAM "Acquire.Harness"

int main(int argc, char **argv)
{
    (void)argc;
    char path[4096];
    ssize_t length = readlink("/proc/self/exe", path, sizeof path);
    if (length < 0 || length >= (ssize_t)sizeof path - 64) {
        fprintf(stderr, "acquire: the folder of this program is not known or its name is too long; keep the folders x86-64-v2 and x86-64-v3 beside it.\n");
        return 3;
    }

    // Asks the processor, and whether the system saves the wide registers.
    __builtin_cpu_init();
    const char *level = __builtin_cpu_supports("x86-64-v3") ? "x86-64-v3" : __builtin_cpu_supports("x86-64-v2") ? "x86-64-v2" : NULL;
    if (!level) {
        fprintf(stderr, "acquire: this processor lacks what x86-64-v2 names (SSE4.2, POPCNT); run it with the .NET runtime on another machine.\n");
        return 3;
    }

    path[length] = 0;
    strcpy(strrchr(path, '/') + 1, level);
    strcat(path, "/" PROGRAM);
    execv(path, argv);
    fprintf(stderr, "acquire: %s cannot be started: %s; keep the folders x86-64-v2 and x86-64-v3 beside this program.\n", path, strerror(errno));
    return 3;
}
