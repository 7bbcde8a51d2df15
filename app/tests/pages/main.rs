//! Plans, sheets and reports as files and pages.

mod plan_file;
mod report_pages;
mod sheet_layout;
