/* The program: standard streams made safe, and the first words of the command line led to what they ask for. */
#define _XOPEN_SOURCE 700
#include "cli/call.h"
#include "show/out_file.h"
#include <errno.h>
#include <fcntl.h>
#include <langinfo.h>
#include <locale.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <unistd.h>

/* Numbers stay as they are written in C; only the width and kind of letters follow the reader's locale. */
static bool set_letters(void)
{
    bool known = setlocale(LC_CTYPE, "");
    bool utf8 = known && strcmp(nl_langinfo(CODESET), "UTF-8") == 0;
    if (!utf8)
        setlocale(LC_CTYPE, "C.UTF-8"); /* names in files are UTF-8 wherever the program runs */
    return utf8;
}

/* A closed standard stream would lend its number to the next file that is opened: results would land in it. */
static bool guard_standard_streams(void)
{
    for (int handle = 0; handle <= 2; handle++)
        if (fcntl(handle, F_GETFD) == -1 && errno == EBADF && open("/dev/null", O_RDONLY) != handle)
            return false;
    return true;
}

/* What would end in a segmentation fault is said before. */
static bool stack_is_enough(void)
{
    enum { ENOUGH_KIB = 256 };
    struct rlimit stack;
    if (getrlimit(RLIMIT_STACK, &stack) || stack.rlim_cur == RLIM_INFINITY || stack.rlim_cur >= ENOUGH_KIB * 1024)
        return true;
    char text[200]; /* and no more: what prints in style needs a stack itself */
    int length = snprintf(text, sizeof text,
                          "evener: error: the stack of this program is limited to %lu KiB; at least %d were expected; "
                          "'ulimit -s %d' sets them\n",
                          (unsigned long)(stack.rlim_cur / 1024), ENOUGH_KIB, ENOUGH_KIB);
    ssize_t told = write(STDERR_FILENO, text, length > 0 ? (size_t)length : 0);
    (void)told; /* where it cannot be said the exit code is all there is */
    return false;
}

static evn_status usage(const evn_console *console, const evn_mishap *mishap)
{
    evn_status status = evn_command_mishap(mishap, console);
    fputs("evener: 'evener --help' lists the commands\n", console->err);
    return status;
}

static evn_status unknown_command(const char *word, const evn_console *console)
{
    evn_mishap mishap = {0};
    const char *names[64];
    size_t count = 0;
    while (count < evn_command_count && count < sizeof names / sizeof names[0]) {
        names[count] = evn_commands[count]->name;
        count++;
    }
    const char *nearest = evn_name_nearest(word, names, sizeof names[0], count);
    if (nearest)
        evn_mishap_say(&mishap, "usage", EVN_BAD_INPUT, "unknown command '%s'; did you mean 'evener %s'?", word,
                       nearest);
    else
        evn_mishap_say(&mishap, "usage", EVN_BAD_INPUT, "unknown command '%s'; a command was expected", word);
    return usage(console, &mishap);
}

static evn_status no_command(const evn_console *console)
{
    evn_help_program(console->err, evn_look_prose(&console->err_look));
    return EVN_BAD_INPUT;
}

/* evener help [COMMAND] */
static evn_status help(int count, char *const *words, const evn_console *console)
{
    int taken;
    if (count == 0) {
        evn_help_program(console->out, evn_look_prose(&console->out_look));
        return EVN_DONE;
    }
    const evn_command *command = evn_command_find(count, words, &taken);
    if (command)
        return evn_help_command(command, console->out, evn_look_prose(&console->out_look)) ? EVN_DONE : EVN_NO_RESULT;
    if (!evn_command_is_group(words[0]))
        return unknown_command(words[0], console);
    evn_help_group(words[0], console->out, evn_look_prose(&console->out_look));
    return EVN_DONE;
}

/* A word that begins commands of two words, without the second. */
static evn_status group(int count, char *const *words, const evn_console *console)
{
    bool asked = count > 1 && (strcmp(words[1], "--help") == 0 || strcmp(words[1], "-h") == 0);
    if (asked) {
        evn_help_group(words[0], console->out, evn_look_prose(&console->out_look));
        return EVN_DONE;
    }
    evn_mishap mishap = {0};
    if (count > 1)
        evn_mishap_say(&mishap, "usage", EVN_BAD_INPUT,
                       "unknown command '%s %s'; 'evener help %s' lists those there are", words[0], words[1], words[0]);
    else
        evn_mishap_say(&mishap, "usage", EVN_BAD_INPUT, "'evener %s' wants a second word; 'evener help %s' lists them",
                       words[0], words[0]);
    return evn_command_mishap(&mishap, console);
}

static evn_status dispatch(int count, char *const *words, const evn_console *console)
{
    if (count == 0)
        return no_command(console);
    if (strcmp(words[0], "--help") == 0 || strcmp(words[0], "-h") == 0 || strcmp(words[0], "help") == 0)
        return help(count - 1, words + 1, console);
    if (strcmp(words[0], "--version") == 0) {
        fprintf(console->out, "evener %s\n", evn_version());
        return EVN_DONE;
    }
    int taken;
    const evn_command *command = evn_command_find(count, words, &taken);
    if (command)
        return evn_command_run(command, count - taken, words + taken, console);
    return evn_command_is_group(words[0]) ? group(count, words, console) : unknown_command(words[0], console);
}

/* Ends as a program that a write into a pipe without reader ends, now that all is put away. */
static evn_status end_unread(void)
{
    signal(SIGPIPE, SIG_DFL);
    raise(SIGPIPE);
    return EVN_DONE; /* where the signal is held back */
}

int main(int argc, char **argv)
{
    if (!guard_standard_streams())
        return EVN_BAD_IO;
    signal(SIGPIPE, SIG_IGN); /* a reader that went away is noticed behind the work, not in the middle of a file, */
    signal(SIGXFSZ, SIG_IGN); /* and a limit on the size of files is a write error like any other */
    evn_console console = evn_console_of(stdout, stderr, set_letters(), (const char *const *)argv);
    evn_status status = stack_is_enough() ? dispatch(argc - 1, argv + 1, &console) : EVN_NO_RESULT;
    evn_mishap mishap = {0};
    bool finished = evn_stream_finish(stdout, "standard output", &mishap);
    if (!finished && evn_stream_unread(stdout))
        return (int)end_unread();
    if (!finished)
        status = evn_command_mishap(&mishap, &console);
    return (int)status;
}
