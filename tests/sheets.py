"""What prints the sheets of a plan, for tests that leave them out."""

PRINTING = (
    "cutplan.reports.workbook.plan_xlsx.write_workbook",
    "cutplan.reports.paper.plan_pdf.write_plan_pdf",
    "cutplan.reports.browser.plan_html.write_plan_html",
    "cutplan.reports.paper.labels.write_labels_pdf",
)
"""Each is called with a job, its plan and the file to write."""
