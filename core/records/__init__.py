"""The record of a part as plain data: made from its job, its log and its advice, once for every use of it."""
