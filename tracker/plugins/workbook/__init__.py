"""Workbooks (XLSX): reading them without harm, writing the club as one."""
