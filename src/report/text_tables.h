// The tables of the text report: cables, sources by duty, consumers, defaults taken, rules asked.
#pragma once

#include "report/report.h"

#include <string>

namespace stoutloom::report {

std::string cable_table(const Checked& checked);
std::string source_table(const Checked& checked);
/// What each charging unit holds, where it looks, what the battery gets: as built and at worst.
std::string charging_table(const Checked& checked);
/// Amperes into each battery by duty, hours to half charge, time to pay a start back.
std::string balance_table(const Checked& checked);
std::string consumer_table(const Checked& checked);
/// Every single failure by its consequences, the gravest first; empty where nobody asked.
std::string fault_list(const Checked& checked);
/// The joints that would heat most at ten times their resistance, with what a meter then shows.
std::string dirty_joint_table(const Checked& checked);
/// What each battery drives into a dead short at both ends and the middle of each live cable.
std::string short_table(const Checked& checked);
/// What each source drives between a stud and the conducting parts in its reach.
std::string reach_table(const Checked& checked);
/// By what the current of each unit comes home, in the duty in which it moves most: cable alone, metal of a
/// mass, paths nobody meant.
std::string return_table(const Checked& checked);
std::string defaults_table(const Checked& checked);
/// One line per judgement, passes included.
std::string judgement_record(const Checked& checked);

} // namespace stoutloom::report
