"""Commands of ``halfbat`` besides making and inspecting: processes and coupons."""
