/* Completion for bash, written from the table of commands and their options. */
#include "cli/manual/manual.h"
#include "evener/explain.h"
#include "evener/limits.h"
#include "evener/site.h"
#include <string.h>

/*
 * _evener_keys TAKE WORD COMMAND-LINE... offers paths of keys by one step, as a shell offers folders. The program
 * itself is asked for them; for --set also for the names that trucks on the command line have. TAKE is "set ROOT" where
 * a value follows behind "=", with the kind whose keys stand in a path without it; "keys" where the path may begin with
 * a kind.
 */
static const char keys_head[] =
    "# Completion of evener for bash. The build writes this file from the tables of commands.\n"
    "_evener_keys() {\n"
    "    local how=${1%% *} root='' word=${2#[\\\"\\']} program=${3/#\\~\\//$HOME/} stem='' end='' path rest file\n"
    "    local -A seen=()\n"
    "    if [[ $how == set ]]; then\n"
    "        end='=' root=${1#set }.\n"
    "        [[ $root != truck. && $word != \"$root\"* ]] || root=''\n"
    "    fi\n"
    "    [[ $word != *.* ]] || stem=${word%.*}.\n"
    "    while IFS= read -r path; do\n"
    "        path=${path#\"$root\"}\n"
    "        [[ $path == \"$word\"* ]] || continue\n"
    "        rest=${path#\"$word\"}\n"
    "        if [[ $rest == *.* ]]; then path=$word${rest%%.*}.; else path+=$end; fi\n"
    "        [[ $how == set && $path =~ (NAME|'[N]')\\.$ ]] && ((${#seen[@]} > 0)) && continue\n"
    "        [[ -n ${seen[$path]} ]] || printf '%s\\n' \"$path\"\n"
    "        seen[$path]=yes\n"
    "    done < <(\n"
    "        if [[ $how == keys && -z $stem ]]; then\n"
    "            printf '%s\\n'";

static const char keys_tail[] = "\n"
                                "        fi\n"
                                "        stem=$root$stem\n"
                                "        for file in \"${@:4}\"; do\n"
                                "            [[ $how == set && $file != -* && $file != \"$2\" ]] &&\n"
                                "                \"$program\" show --paths -- \"$file\" 2>/dev/null\n"
                                "        done\n"
                                "        \"$program\" keys --paths ${stem:+\"$stem\"} 2>/dev/null\n"
                                "    )\n"
                                "}\n";

/*
 * _evener_names KINDS PREFIX WORD PROGRAM: files, and the names of what the program lists of these kinds.
 */
static const char names[] =
    "_evener_names() {\n"
    "    local program=${4/#\\~\\//$HOME/} kind\n"
    "    compgen -P \"$2\" -f -- \"$3\"\n"
    "    for kind in $1; do\n"
    "        compgen -P \"$2\" -W \"$(\"$program\" list \"$kind\" --names 2>/dev/null)\" -- \"$3\"\n"
    "    done\n"
    "}\n";

/*
 * _evener_operands VALUED WORD...: the operands among the words, a line each. VALUED are the options that take a value;
 * where bash breaks words at "=", the value stands behind a word of its own.
 */
static const char operands[] = "_evener_operands() {\n"
                               "    local valued=\" $1 \" word value=no\n"
                               "    for word in \"${@:2}\"; do\n"
                               "        if [[ $word == '=' ]]; then\n"
                               "            value=yes\n"
                               "        elif [[ $value == yes ]]; then\n"
                               "            value=no\n"
                               "        elif [[ $word == -?* ]]; then\n"
                               "            [[ $valued != *\" $word \"* ]] || value=yes\n"
                               "        else\n"
                               "            printf '%s\\n' \"$word\"\n"
                               "        fi\n"
                               "    done\n"
                               "}\n";

/*
 * Finds the words that name the command and the word that is being written. Where bash breaks words at "=", a value
 * behind it stands in a word of its own; where it does not, the value is taken out of the word and put back. `take` is
 * what the word stands for, of an option's value or else of the operand whose turn it is.
 */
static const char head[] = "_evener() {\n"
                           "    local IFS=$' \\t\\n' cur=${COMP_WORDS[COMP_CWORD]} prev=${COMP_WORDS[COMP_CWORD-1]}\n"
                           "    local at=1 given words='' valued='' prefix='' take='' beside='' begin=0\n"
                           "    local -a operands=() before=()\n"
                           "    if [[ $cur == '=' ]]; then\n"
                           "        cur=''\n"
                           "    elif [[ $prev == '=' ]]; then\n"
                           "        prev=${COMP_WORDS[COMP_CWORD-2]}\n"
                           "    elif [[ $cur == --*=* ]]; then\n"
                           "        prev=${cur%%=*} prefix=${cur%%=*}= cur=${cur#*=}\n"
                           "    fi\n"
                           "    COMPREPLY=()\n"
                           "    [[ ${COMP_WORDS[1]} != help ]] || ((COMP_CWORD < 2)) || at=2\n"
                           "    given=\"${COMP_WORDS[*]:at:COMP_CWORD-at} \"\n"
                           "    case $given in\n";

static const char tail[] =
    "    esac\n"
    "    if ((begin > 0 && at == 2)); then\n"
    "        return\n"
    "    fi\n"
    "    if ((begin > 0)); then\n"
    "        mapfile -t before < <(_evener_operands \"$valued\" \"${COMP_WORDS[@]:begin:COMP_CWORD-begin}\")\n"
    "    fi\n"
    "    if [[ -z $take && $cur != -* ]] && ((${#operands[@]} > 0)); then\n"
    "        take=${operands[${#before[@]} < ${#operands[@]} ? ${#before[@]} : ${#operands[@]} - 1]}\n"
    "    fi\n"
    "    [[ $take != like ]] || take=\"input ${before[0]}\"\n"
    "    case $take in\n"
    "    'set '* | keys)\n"
    "        mapfile -t COMPREPLY < <(_evener_keys \"$take\" \"$cur\" \"${COMP_WORDS[@]}\")\n"
    "        [[ ${COMPREPLY[0]} != *[.=] ]] || compopt -o nospace 2>/dev/null\n"
    "        COMPREPLY=(\"${COMPREPLY[@]/#/$prefix}\")\n"
    "        ;;\n"
    "    'input '* | file)\n"
    "        compopt -o filenames 2>/dev/null || true # outside of a completion it fails\n"
    "        [[ $take != file ]] || take=''\n"
    "        mapfile -t COMPREPLY < <(_evener_names \"${take#input }\" \"$prefix\" \"$cur\" \"${COMP_WORDS[0]}\")\n"
    "        ;;\n"
    "    'words '*) mapfile -t COMPREPLY < <(compgen -P \"$prefix\" -W \"${take#words }\" -- \"$cur\") ;;\n"
    "    '') mapfile -t COMPREPLY < <(compgen -W \"$words\" -- \"$cur\") ;;\n"
    "    esac\n"
    "    [[ -z $beside ]] || mapfile -t -O \"${#COMPREPLY[@]}\" COMPREPLY < <(compgen -W \"$beside\" -- \"$cur\")\n"
    "}\n"
    "complete -F _evener evener\n";

/* ------------------------------------------------------------------------------------------------ names of commands */

static size_t first_word(const evn_command *command) { return strcspn(command->name, " "); }

static bool begins_alike(const evn_command *a, const evn_command *b)
{
    return first_word(a) == first_word(b) && strncmp(a->name, b->name, first_word(a)) == 0;
}

/* True for the first of the commands that begin with the same word. */
static bool leads(size_t index)
{
    for (size_t i = 0; i < index; i++)
        if (begins_alike(evn_commands[i], evn_commands[index]))
            return false;
    return true;
}

/* Whether the first word of a command is one by itself too. */
static bool stands_alone(const evn_command *command)
{
    for (size_t i = 0; i < evn_command_count; i++)
        if (begins_alike(evn_commands[i], command) && evn_commands[i]->name[first_word(command)] == '\0')
            return true;
    return false;
}

/* Of a command of one word the second words of others, where no option is being written. */
static void put_beside(const evn_command *command, FILE *to)
{
    bool any = false;
    for (size_t i = 0; i < evn_command_count; i++) {
        const char *second = evn_commands[i]->name + first_word(evn_commands[i]);
        if (!begins_alike(evn_commands[i], command) || *second == '\0')
            continue;
        if (!any)
            fprintf(to, "        [[ $given != '%s ' || $cur == -* ]] || beside='", command->name);
        fprintf(to, "%s%s", any ? " " : "", second + 1);
        any = true;
    }
    fputs(any ? "'\n" : "", to);
}

static void put_first_words(FILE *to)
{
    fputs("    ' ')\n        words='", to);
    for (size_t i = 0; i < evn_command_count; i++)
        if (leads(i))
            fprintf(to, "%.*s ", (int)first_word(evn_commands[i]), evn_commands[i]->name);
    fputs("'\n        ((at == 2)) || words+='help", to);
    for (size_t i = 0; i < evn_program_option_count; i++)
        fprintf(to, " --%s", evn_program_options[i].name);
    fputs("'\n        ;;\n", to);
}

static void put_second_words(size_t index, FILE *to)
{
    const evn_command *leader = evn_commands[index];
    if (!leads(index) || leader->name[first_word(leader)] == '\0' || stands_alone(leader))
        return;
    fprintf(to, "    '%.*s ')\n        words='", (int)first_word(leader), leader->name);
    for (size_t i = index; i < evn_command_count; i++)
        if (begins_alike(evn_commands[i], leader))
            fprintf(to, "%s ", evn_commands[i]->name + first_word(leader) + 1);
    fputs("--help'\n        ;;\n", to);
}

/* ------------------------------------------------------------------------------------------------ one command */

static void put_kinds(FILE *to)
{
    evn_kind kind;
    for (size_t i = 0; evn_kind_at(i, &kind); i++)
        fprintf(to, " %s", kind.name);
}

static void put_limits(FILE *to)
{
    const char *group, *title, *help;
    fputs(" all", to);
    for (size_t i = 0; evn_limits_group_at(i, &group, &title, &help); i++)
        fprintf(to, " %s", group);
}

static void put_site(FILE *to)
{
    const char *group, *title, *help;
    for (size_t i = 0; evn_site_group_at(i, &group, &title, &help); i++)
        fprintf(to, " %s", group);
}

/* Those that every truck may have: names of axles and drive units are not known here. */
static void put_results(FILE *to)
{
    evn_quantity what;
    for (size_t i = 0; evn_result_row_at(i, &what); i++)
        if (!strstr(what.key, ".NAME."))
            fprintf(to, " %s", what.key);
    char key[EVN_WHY_KEY_BYTES];
    for (size_t i = 0; evn_explain_why_at(i, key); i++)
        fprintf(to, " %s", key);
}

/* What a word stands for, as the function takes it apart; "nothing" where nothing can be offered. `other_kind`: NULL,
 * or of the files that it may stand for besides. */
static void put_takes(const evn_takes *takes, const char *other_kind, FILE *to)
{
    fputc('\'', to);
    switch (takes->what) {
    case EVN_TAKES_INPUT:
        fprintf(to, "input %s", takes->kind);
        break;
    case EVN_TAKES_LIKE:
        fputs("like", to);
        break;
    case EVN_TAKES_RECORD:
    case EVN_TAKES_FILE:
        fputs("file", to);
        break;
    case EVN_TAKES_KIND:
        fputs("words", to);
        put_kinds(to);
        break;
    case EVN_TAKES_KEY:
        fputs("keys", to);
        break;
    case EVN_TAKES_SET:
        fprintf(to, "set %s", takes->kind);
        break;
    case EVN_TAKES_LIMITS:
        fputs("words", to);
        put_limits(to);
        break;
    case EVN_TAKES_SITE:
        fputs("words", to);
        put_site(to);
        break;
    case EVN_TAKES_RESULT:
        fputs("words", to);
        put_results(to);
        break;
    case EVN_TAKES_WORD:
        fputs("words", to);
        for (size_t i = 0; takes->words[i]; i++)
            fprintf(to, " %s", takes->words[i]);
        break;
    case EVN_TAKES_ANYTHING:
        fputs("nothing", to);
        break;
    }
    fprintf(to, other_kind ? " %s'" : "'", other_kind);
}

static void put_value(const evn_option *option, FILE *to)
{
    evn_takes takes = option->takes;
    if (option->kind == EVN_OPTION_FLAG)
        return;
    if (option->kind == EVN_OPTION_CHOICE)
        takes = (evn_takes){EVN_TAKES_WORD, NULL, option->choices};
    fprintf(to, "        --%s) take=", option->name);
    put_takes(&takes, NULL, to);
    fputs(" ;;\n", to);
}

static void put_operands(const evn_command *command, FILE *to)
{
    fputs(" operands=(", to);
    for (size_t i = 0; i < command->operand_count; i++) {
        fputs(i > 0 ? " " : "", to);
        put_takes(&command->operands[i].takes, command->kind_with, to);
    }
    fprintf(to, "%s)\n", command->operands_many ? "" : " ''");
    if (command->without_with)
        fprintf(to,
                "        [[ \" ${COMP_WORDS[*]} \" != *' --%s'[' =']* ]] ||\n"
                "            operands=(\"${operands[@]:0:%zu}\" \"${operands[@]:%zu}\")\n",
                command->without_with, command->without, command->without + 1);
}

static void put_command(const evn_command *command, FILE *to)
{
    evn_option_list options;
    evn_command_options(command, &options);
    int words = strchr(command->name, ' ') ? 2 : 1;
    fprintf(to, "    '%s '*)\n        begin=$((at + %d)) words='", command->name, words);
    for (size_t i = 0; i < options.count; i++)
        fprintf(to, "--%s ", options.at[i].name);
    fprintf(to, "--%s' valued='", evn_help_option.name);
    for (size_t i = 0; i < options.count; i++)
        if (options.at[i].kind != EVN_OPTION_FLAG)
            fprintf(to, "--%s ", options.at[i].name);
    fputs("'", to);
    put_operands(command, to);
    if (words == 1)
        put_beside(command, to);
    fputs("        case $prev in\n", to);
    for (size_t i = 0; i < options.count; i++)
        put_value(&options.at[i], to);
    fputs("        esac\n        ;;\n", to);
}

void evn_bash_completion(FILE *to)
{
    fputs(keys_head, to);
    put_kinds(to);
    fputs(keys_tail, to);
    fputs(names, to);
    fputs(operands, to);
    fputs(head, to);
    put_first_words(to);
    for (size_t i = 0; i < evn_command_count; i++)
        put_second_words(i, to);
    for (size_t i = 0; i < evn_command_count; i++)
        put_command(evn_commands[i], to);
    fputs(tail, to);
}
