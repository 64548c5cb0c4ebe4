/* What a finding can name, as a table. */
#include "show/keys_story.h"
#include "show/report/table.h"

static const char *leads_to(const evn_fault_meaning *fault, char out[16])
{
    snprintf(out, 16, "%d", (int)fault->status);
    return out;
}

bool evn_faults_text(FILE *to, const evn_look *look)
{
    static const evn_table_column columns[] = {
        {"fault", false, false}, {"exit", true, false}, {"", false, false}, {"what it means", false, true}};
    evn_table *table = evn_table_new(columns, 4, true);
    bool made = table;
    evn_fault_meaning fault;
    for (size_t i = 0; made && evn_fault_at(i, &fault); i++) {
        char code[16];
        made = evn_table_row(table, (const char *const[]){fault.name, leads_to(&fault, code),
                                                          evn_severity_name(fault.severity), fault.meaning});
    }
    made = made && evn_table_print(table, to, "", evn_look_width(look));
    evn_table_free(table);
    return made;
}
