"""What a job, a design, a meter, a stock item, a setting and a finding are: records without behaviour of their own."""
