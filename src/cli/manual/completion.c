/* Completion for bash, written from the table of commands and their options. */
#include "cli/manual/manual.h"
#include <string.h>

/*
 * _evener_keys HOW ROOT WORD COMMAND-LINE... offers paths of keys by one step, as a shell offers folders. The program
 * itself is asked for them; for --set also for the names that trucks on the command line have. HOW is `set` where a
 * value follows behind "=", `any` where the path may begin with a kind.
 */
static const char keys_head[] =
    "# Completion of evener for bash. The build writes this file from the tables of commands.\n"
    "_evener_keys() {\n"
    "    local how=$1 root=$2 word=${3#[\\\"\\']} program=${4/#\\~\\//$HOME/} stem='' end='' path rest file\n"
    "    local -A seen=()\n"
    "    [[ $how != set ]] || end='='\n"
    "    [[ -z $root || $word != \"$root\"* ]] || root=''\n"
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
    "        if [[ $how == any && -z $stem ]]; then\n"
    "            printf '%s\\n'";

static const char keys_tail[] =
    "\n"
    "        fi\n"
    "        stem=$root$stem\n"
    "        for file in \"${@:5}\"; do\n"
    "            [[ $how == set && $file == *.yaml ]] && \"$program\" show --paths -- \"$file\" 2>/dev/null\n"
    "        done\n"
    "        \"$program\" keys --paths ${stem:+\"$stem\"} 2>/dev/null\n"
    "    )\n"
    "}\n";

/*
 * Finds the words that name the command and the word that is being written. Where bash breaks words at "=", a value
 * behind it stands in a word of its own; where it does not, the value is taken out of the word and put back.
 */
static const char head[] = "_evener() {\n"
                           "    local IFS=$' \\t\\n' cur=${COMP_WORDS[COMP_CWORD]} prev=${COMP_WORDS[COMP_CWORD-1]}\n"
                           "    local at=1 given words='' named='' files=no prefix='' keys='' root=''\n"
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
    "    if ((at == 2)) && [[ -n $named ]]; then\n"
    "        return\n"
    "    fi\n"
    "    if [[ -n $keys ]] && [[ $cur != -* || -n $prefix ]]; then\n"
    "        mapfile -t COMPREPLY < <(_evener_keys \"$keys\" \"$root\" \"$cur\" \"${COMP_WORDS[@]}\")\n"
    "        [[ ${COMPREPLY[0]} != *[.=] ]] || compopt -o nospace 2>/dev/null\n"
    "        COMPREPLY=(\"${COMPREPLY[@]/#/$prefix}\")\n"
    "    elif [[ $files == yes ]] && [[ $cur != -* || -n $prefix ]]; then\n"
    "        compopt -o filenames 2>/dev/null\n"
    "        mapfile -t COMPREPLY < <(compgen -P \"$prefix\" -f -- \"$cur\")\n"
    "    else\n"
    "        mapfile -t COMPREPLY < <(compgen -P \"$prefix\" -W \"$words\" -- \"$cur\")\n"
    "    fi\n"
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
    if (!leads(index) || leader->name[first_word(leader)] == '\0')
        return;
    fprintf(to, "    '%.*s ')\n        words='", (int)first_word(leader), leader->name);
    for (size_t i = index; i < evn_command_count; i++)
        if (begins_alike(evn_commands[i], leader))
            fprintf(to, "%s ", evn_commands[i]->name + first_word(leader) + 1);
    fputs("--help'\n        ;;\n", to);
}

/* ------------------------------------------------------------------------------------------------ one command */

/* Whose keys stand in a path without saying so: those of a lineup, of a cycle, else of a truck. */
static const char *root_of(const evn_command *command)
{
    if (strstr(command->operands[0].help, "lineup file"))
        return "lineup.";
    return strcmp(command->operands[0].name, "CYCLE") == 0 ? "cycle." : "";
}

/* What may stand behind an option that takes a value: its choices, a file where its argument is named so, the path of a
 * key, or anything, of which nothing can be told. */
static void put_value(const evn_command *command, const evn_option *option, FILE *to)
{
    if (option->kind == EVN_OPTION_FLAG)
        return;
    fprintf(to, "        --%s) files=", option->name);
    bool path = strstr(option->argument, "FILE") || strstr(option->argument, "FOLDER");
    fputs(path ? "yes words='" : "no words='", to);
    for (size_t i = 0; option->kind == EVN_OPTION_CHOICE && option->choices[i]; i++)
        fprintf(to, "%s%s", i > 0 ? " " : "", option->choices[i]);
    fputs("'", to);
    if (strcmp(option->argument, "KEY=VALUE") == 0)
        fprintf(to, " keys=set root='%s'", root_of(command));
    fputs(" ;;\n", to);
}

static bool takes_files(const evn_command *command)
{
    for (size_t i = 0; i < command->operand_count; i++)
        if (strstr(command->operands[i].help, "file") || strstr(command->operands[i].help, "folder"))
            return true;
    return false;
}

static bool takes_keys(const evn_command *command)
{
    return command->operand_count > 0 && strstr(command->operands[0].help, "path of a key");
}

static void put_command(const evn_command *command, FILE *to)
{
    fprintf(to, "    '%s '*)\n        named=yes files=%s words='", command->name, takes_files(command) ? "yes" : "no");
    evn_option_list options;
    evn_command_options(command, &options);
    for (size_t i = 0; i < options.count; i++)
        fprintf(to, "--%s ", options.at[i].name);
    fprintf(to, "--%s'%s\n        case $prev in\n", evn_help_option.name, takes_keys(command) ? " keys=any" : "");
    for (size_t i = 0; i < options.count; i++)
        put_value(command, &options.at[i], to);
    fputs("        esac\n        ;;\n", to);
}

static void put_kinds(FILE *to)
{
    evn_kind kind;
    for (size_t i = 0; evn_kind_at(i, &kind); i++)
        fprintf(to, " %s", kind.name);
}

void evn_bash_completion(FILE *to)
{
    fputs(keys_head, to);
    put_kinds(to);
    fputs(keys_tail, to);
    fputs(head, to);
    put_first_words(to);
    for (size_t i = 0; i < evn_command_count; i++)
        put_second_words(i, to);
    for (size_t i = 0; i < evn_command_count; i++)
        put_command(evn_commands[i], to);
    fputs(tail, to);
}
